"""Start the service on loopback, judge an engine with a kit, print what stops it and what to buy, stop it."""

import os
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

from service.commands.show import show
from service.errors import ServiceError

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 30.0
DEMO = ROOT / "openapi" / "examples" / "kit.json"
SHOPPING = ROOT / "openapi" / "examples" / "kit-requirements.json"
CATALOG = ROOT / "tests" / "catalog"


def demo(port: int) -> int:
    """0 once the verdict is printed; ServiceError where the service does not come up."""
    command = [
        sys.executable,
        "-m",
        "gunicorn",
        "--config",
        str(ROOT / "docker" / "gunicorn.conf.py"),
        "--log-level",
        "warning",
        "service.wsgi:app",
    ]
    print(f"$ {' '.join(['gunicorn', '--config', 'docker/gunicorn.conf.py', 'service.wsgi:app'])}")
    # What a shell may have set for a service of its own is not the demo's.
    plain = {
        name: value
        for name, value in os.environ.items()
        if name not in ("HOST", "TOKENS", "ALLOW_ANONYMOUS", "RULES", "PIDFILE")
    }
    server = subprocess.Popen(
        command,
        cwd=ROOT,
        env=plain | {"PORT": str(port), "WORKERS": "1", "CATALOG": str(CATALOG)},
        stdout=subprocess.DEVNULL,
    )
    try:
        _wait(f"http://127.0.0.1:{port}/readyz", server)
        print("$ python -m service show openapi/examples/kit.json\n")
        show(DEMO, f"http://127.0.0.1:{port}")
        print("\n$ python -m service show openapi/examples/kit-requirements.json\n")
        return show(SHOPPING, f"http://127.0.0.1:{port}")
    finally:
        server.terminate()
        server.wait(timeout=PATIENCE)


def _wait(url: str, server: subprocess.Popen[bytes]) -> None:
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        if server.poll() is not None:
            raise ServiceError(
                "The service stopped while starting; its own message is above "
                "(is the port in use? set PORT=...)."
            )
        try:
            with urllib.request.urlopen(url, timeout=1):
                return
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)
    raise ServiceError(f"The service did not answer within {PATIENCE:g} s.")
