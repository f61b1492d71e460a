"""Start the service under gunicorn, in place of this process."""

import os
import sys
from pathlib import Path

from service.places import ROOT


def serve() -> int:
    """Does not come back: what is set for gunicorn's settings (HOST, PORT, WORKERS, TOKENS ...) holds."""
    command = gunicorn()
    os.execv(command[0], command)


def gunicorn(*options: str) -> list[str]:
    """The command that serves."""
    settings = str(ROOT / "docker" / "gunicorn.conf.py")
    # Started with -m, the successor of a roll would find gunicorn's own folder first, where `http` is not
    # Python's.
    script = Path(sys.executable).with_name("gunicorn")
    start = [str(script)] if script.exists() else [sys.executable, "-m", "gunicorn"]
    return [*start, "--config", settings, *options, "service.wsgi:app"]
