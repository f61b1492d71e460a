"""Start the service on loopback, judge an engine with a kit, print what stops it and what to buy, stop it or
leave its page open.
"""

import os
import subprocess
import time
import urllib.error
import urllib.request

from service.commands.request_file import read_request
from service.commands.serve import gunicorn
from service.commands.show import show
from service.errors import ServiceError
from service.places import ROOT
from service.web.pages.address import code_of

PATIENCE = 30.0
DEMO = ROOT / "openapi" / "examples" / "kit.json"
SHOPPING = ROOT / "openapi" / "examples" / "kit-requirements.json"
CATALOG = ROOT / "tests" / "catalog"


def demo(port: int, keep: bool = False) -> int:
    """0 once the verdict is printed; ServiceError where the service does not come up."""
    url = f"http://127.0.0.1:{port}"
    print(f"$ {' '.join(['gunicorn', '--config', 'docker/gunicorn.conf.py', 'service.wsgi:app'])}")
    server = _start(port, keep)
    kept = False
    try:
        _wait(f"{url}/readyz", server)
        print("$ python -m service show openapi/examples/kit.json\n")
        show(DEMO, url)
        print("\n$ python -m service show openapi/examples/kit-requirements.json\n")
        show(SHOPPING, url)
        kept = keep
        print(f"\n{_page(url, server.pid if keep else None)}")
        return 0
    finally:
        if not kept:
            server.terminate()
            server.wait(timeout=PATIENCE)


def _start(port: int, keep: bool) -> "subprocess.Popen[bytes]":
    # What a shell may have set for a service of its own is not the demo's.
    plain = {
        name: value
        for name, value in os.environ.items()
        if name not in ("HOST", "TOKENS", "ALLOW_ANONYMOUS", "RULES", "PIDFILE")
    }
    return subprocess.Popen(
        gunicorn("--log-level", "warning"),
        cwd=ROOT,
        env=plain | {"PORT": str(port), "WORKERS": "1", "CATALOG": str(CATALOG)},
        stdout=subprocess.DEVNULL,
        # One that stays does not end with the terminal's own ^C.
        start_new_session=keep,
    )


def _page(url: str, running: int | None) -> str:
    """Where the same build is to be looked at, while the service runs."""
    asked = read_request(DEMO)
    address = f"{url}/answer?units={asked['units']}&b={code_of(asked['build'])}"
    if running is None:
        return f"The page for people is at {url}/ while the service runs: make demo KEEP=1 leaves it running."
    return f"The same build on the page: {address}\nThe service keeps running; `kill {running}` stops it."


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
