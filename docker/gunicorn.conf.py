"""gunicorn's settings; each with its reason. Run it from the folder that holds service/ and rules/."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

# Loopback unless said otherwise; the app refuses to start on any other address without tokens.
_host = os.environ.get("HOST") or "127.0.0.1"
bind = _host if _host.startswith("unix:") else f"{f'[{_host}]' if ':' in _host else _host}:{os.environ.get('PORT') or '8077'}"
# The work is arithmetic under one lock, so a worker a core.
workers = int(os.environ.get("WORKERS") or "2")
# A proxy that buffers sends whole requests and takes whole answers, so a thread is never held by a slow client; threads are
# there for connections that the proxy keeps open, which the sync worker cannot. Without such a proxy four slow clients hold up a worker.
worker_class = "gthread"
threads = 4
# Rules are loaded once before the fork: memory is shared, and a bad rulebook stops the start. For the same reason HUP does not
# load new rules: `python -m service roll` does, by a second master beside the first.
preload_app = True
# Kills a worker that has fallen silent, which a long request in a thread is not: work is bounded by counts instead.
timeout = 30
# Longer than the longest answer takes (half a second) under a full queue; shorter than the 30 s that compose and Kubernetes wait before they kill.
graceful_timeout = 20
# Longer than the proxy keeps an idle connection (docker/nginx.conf), so that the proxy closes first and never sends into a closing one.
keepalive = 75
# Connections beyond the accepted wait here while workers are replaced.
backlog = 1024
# A worker is replaced now and then in case anything leaks; the jitter keeps them from going together.
max_requests = 50_000
max_requests_jitter = 5_000
# Headers only; bodies are limited by the app. A traceparent and a token are all that a client needs to send.
limit_request_line = 2048
limit_request_fields = 50
limit_request_field_size = 4096
# The gateway's address is not known here, and nothing of what it forwards is needed.
forwarded_allow_ips = ""
# Writes nothing but to memory, so that it runs in a read-only root.
control_socket_disable = True
worker_tmp_dir = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
# Where `python -m service roll` finds the master.
pidfile = os.environ.get("PIDFILE") or None
# The app writes a line for each evaluation; the gateway one for each request.
accesslog = None

_SUCCESSOR = "GUNICORN_PID" in os.environ
if not os.environ.get("PROMETHEUS_MULTIPROC_DIR"):
    os.environ["PROMETHEUS_MULTIPROC_DIR"] = tempfile.mkdtemp(prefix="engine-build-rules-metrics-", dir=worker_tmp_dir)
    # By atexit, because a master whose rules do not load ends before any hook of gunicorn's; workers end through it too.
    atexit.register(lambda folder, master: os.getpid() == master and shutil.rmtree(folder, ignore_errors=True), os.environ["PROMETHEUS_MULTIPROC_DIR"], os.getpid())
_metrics = Path(os.environ["PROMETHEUS_MULTIPROC_DIR"])
# What an earlier run left would be counted again; beside a master that still runs it is its own.
if not _SUCCESSOR:
    _metrics.mkdir(parents=True, exist_ok=True)
    for left in _metrics.glob("*.db"):
        left.unlink()


def post_worker_init(worker):
    if "engine-build-rules" in getattr(worker.wsgi, "extensions", {}):
        from service.web.metrics import announce

        announce(worker.wsgi)


def child_exit(server, worker):
    from service.web.dead_workers import fold

    fold(str(_metrics), worker.pid)
