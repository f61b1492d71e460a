"""gunicorn's settings; each with its reason."""

import os

# Loopback unless said otherwise: beyond it belongs a gateway.
bind = f"127.0.0.1:{os.environ.get('PORT', '8077')}"
# The work is arithmetic under one lock, so a worker a core; threads only hold slow clients and kept-alive connections.
workers = int(os.environ.get("WORKERS", "2"))
worker_class = "gthread"
threads = 4
# Rules are loaded once before the fork: memory is shared, and a bad rulebook stops the start.
preload_app = True
timeout = 30
graceful_timeout = 20
keepalive = 5
# A worker is replaced now and then in case anything leaks; the jitter keeps them from going together.
max_requests = 8192
max_requests_jitter = 512
# Writes nothing under home, so that it runs in a read-only root.
control_socket_disable = True
accesslog = None
