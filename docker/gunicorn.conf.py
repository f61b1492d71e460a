"""gunicorn's settings; each with its reason. Run it from the folder that holds service/ and rules/."""

import atexit
import os
import resource
import shutil
import sys
import tempfile
from pathlib import Path

from service.web.server.patient_master import make_patient
from service.web.server.started import say_started
from service.web.server.worker import Worker

# Loopback unless said otherwise; the app refuses to start on any other address without tokens.
_host = (os.environ.get("HOST") or "127.0.0.1").strip("[]")
_port = os.environ.get("PORT") or "8077"
if not (_port.isascii() and _port.isdigit() and int(_port) <= 65535):
    sys.exit(f"The service does not start.\nPORT is {_port!r}; use a whole number from 0, any that is free, to 65535.")
bind = (
    _host
    if _host.startswith("unix:")
    else f"{f'[{_host}]' if ':' in _host else _host}:{_port}"
)
# Probes and monitoring ask there without a token; the app answers nothing else on it, and looks at the number when it loads.
_watch = os.environ.get("WATCH_PORT") or ""
if _watch.isascii() and _watch.isdigit() and _watch != _port and 1 <= int(_watch) <= 65535:
    bind = [bind, f"{'127.0.0.1' if _host.startswith('unix:') else bind.rpartition(':')[0]}:{_watch}"]
# The work is arithmetic under one lock, so a worker a core.
_workers = os.environ.get("WORKERS") or "2"
if not (_workers.isascii() and _workers.isdigit() and 1 <= int(_workers) <= 64):
    sys.exit(
        f"The service does not start.\nWORKERS is {_workers!r}; use a whole number from 1 to 64, one for each core."
    )
workers = int(_workers)
# For requests side by side on one core: the worker hands a thread only what has come whole (service/web/server), so slow clients hold none.
threads = 4
# No more connections than there are descriptors for, with some left for the log, the counts and each thread; beyond them a client waits to be taken,
# and idle connections end for it. At most what gunicorn takes by itself.
worker_connections = max(threads + 1, min(1000, resource.getrlimit(resource.RLIMIT_NOFILE)[0] - 40))
# What never reaches the app is told as docker/nginx.conf tells it.
worker_class = Worker

# Rules are loaded once before the fork: memory is shared, and a bad rulebook stops the start. For the same reason HUP does not
# load new rules: `python -m service roll` does, by a second master beside the first.
preload_app = True
# Kills a worker that has fallen silent, which a long request in a thread is not: work is bounded by counts instead.
timeout = 30
# Longer than the longest answer takes (a batch of 250 builds that all name other fields, 3.3 s); shorter than the 30 s that compose and Kubernetes wait before they kill.
graceful_timeout = 20
# Longer than the proxy keeps an idle connection (docker/nginx.conf), so that the proxy closes first and never sends into a closing one.
keepalive = 75
# Connections beyond the accepted wait here while workers are replaced.
backlog = 1024
# A worker is replaced now and then in case anything leaks; the jitter keeps them from going together.
max_requests = 50_000
max_requests_jitter = 5_000
# Headers only; bodies are limited by the app. A traceparent and a token are all that a client needs to send.
# An address of a page holds a whole build (service/web/pages/address.py).
limit_request_line = 4096
limit_request_fields = 50
limit_request_field_size = 4096
# The gateway's address is not known here, and nothing of what it forwards is needed.
forwarded_allow_ips = ""
# Writes nothing but to memory, so that it runs in a read-only root.
control_socket_disable = True
worker_tmp_dir = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
# Where `python -m service roll` finds the master.
pidfile = os.environ.get("PIDFILE") or None
_beside = Path(pidfile or ".").absolute().parent
if pidfile and (Path(pidfile).is_dir() or not _beside.is_dir() or not os.access(_beside, os.W_OK)):
    sys.exit(f"The service does not start.\nPIDFILE is {pidfile!r}, where no file can be written; name a file in a folder that may be written.")
# The app writes a line for each POST and each refusal; the gateway one for each request.
accesslog = None

_SUCCESSOR = "GUNICORN_PID" in os.environ
# On HUP gunicorn reads this file again, in a process whose workers are counting.
_AGAIN = "service.wsgi" in sys.modules
_OWN = "engine-build-rules-metrics-"
_given = os.environ.get("PROMETHEUS_MULTIPROC_DIR")
# A predecessor hands on its own folder where it was sent HUP before, and deletes it when it goes.
if not _given or (_SUCCESSOR and not _AGAIN and Path(_given).name.startswith(_OWN)):
    _memory = Path(worker_tmp_dir or tempfile.gettempdir())
    # A master that was killed outright could not tidy up; its number is in the name of its folder.
    for _left in _memory.glob(f"{_OWN}*-*"):
        _owner = _left.name.removeprefix(_OWN).partition("-")[0]
        if _owner.isdigit() and (int(_owner) == os.getpid() or not Path("/proc", _owner).exists()):
            shutil.rmtree(_left, ignore_errors=True)
    try:
        os.environ["PROMETHEUS_MULTIPROC_DIR"] = tempfile.mkdtemp(prefix=f"{_OWN}{os.getpid()}-", dir=_memory)
    except OSError as error:
        sys.exit(f"The service does not start.\nNo folder for counts can be made in {_memory}: {error.strerror}.")
    # By atexit, because a master whose rules do not load ends before any hook of gunicorn's; workers end through it too.
    atexit.register(
        lambda folder, master: os.getpid() == master and shutil.rmtree(folder, ignore_errors=True),
        os.environ["PROMETHEUS_MULTIPROC_DIR"],
        os.getpid(),
    )
_metrics = Path(os.environ["PROMETHEUS_MULTIPROC_DIR"])
# What an earlier run left would be counted again; beside a master that still runs it is its own.
try:
    if not (_SUCCESSOR or _AGAIN):
        _metrics.mkdir(parents=True, exist_ok=True)
        for left in _metrics.glob("*.db"):
            left.unlink()
    # Every count opens it.
    (_metrics / "lock").touch()
except OSError as error:
    sys.exit(
        f"The service does not start.\nPROMETHEUS_MULTIPROC_DIR is {str(_metrics)!r}, where no count can be kept: {error.strerror}. "
        "Name a folder that may be written, or leave it out and one is made in memory."
    )


def on_starting(server):
    make_patient(server)


def when_ready(server):
    say_started(server)


def post_worker_init(worker):
    app = worker.app.wsgi()
    if "engine-build-rules" in getattr(app, "extensions", {}):
        from service.web.telemetry.metrics import announce

        announce(app)
        # A thread sends them, which no fork would take along.
        if os.environ.get("OTEL_EXPORTER_OTLP_ENDPOINT"):
            from service.web.telemetry.spans import send_spans

            send_spans(app)


def child_exit(server, worker):
    from service.web.telemetry.dead_workers import fold

    try:
        fold(str(_metrics), worker.pid)
    except Exception as error:
        # Out of a hook it would end the master; the worker is gone, and the next one has to start.
        if isinstance(error, OSError) and _metrics.is_dir():
            server.log.warning("counts of worker %s stay in files of their own: %s", worker.pid, error.strerror)
        else:
            server.log.exception("what a worker counted is lost")
