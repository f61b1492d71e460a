"""Start the service under gunicorn, in place of this process."""

import os
import sys

from service.places import ROOT


def serve() -> int:
    """Does not come back: what is set for gunicorn's settings (HOST, PORT, WORKERS, TOKENS ...) holds."""
    os.execv(sys.executable, gunicorn())


def gunicorn(*options: str) -> list[str]:
    """The command that serves."""
    settings = str(ROOT / "docker" / "gunicorn.conf.py")
    return [sys.executable, "-m", "gunicorn", "--config", settings, *options, "service.wsgi:app"]
