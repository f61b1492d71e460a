"""What is said once a master serves: a line for the log, and for systemd which process to follow."""

import os
import sys
from contextlib import suppress
from datetime import UTC, datetime
from typing import Any

import orjson
from gunicorn.systemd import sd_notify  # type: ignore[import-untyped]  # the library carries no types

from service.version import VERSION

ITSELF = "engine-build-rules"


def say_started(master: Any) -> None:
    """Called when the master listens and its workers are about to start."""
    # Its number, or systemd would take the end of the one that was rolled for the end of the service.
    sd_notify(f"READY=1\nMAINPID={os.getpid()}", master.log)
    state = getattr(master.app.wsgi(), "extensions", {}).get(ITSELF)
    if state is None or not sys.__stdout__:
        return
    line = {
        "time": datetime.now(UTC).isoformat(timespec="milliseconds"),
        "level": "info",
        "operation": "start",
        "service": VERSION,
        "rulebook": state.rulebook.digest,
        "catalog": state.catalog.digest if state.catalog else None,
        "listens": [str(listener) for listener in master.LISTENERS],
        "workers": master.cfg.workers,
        "python": sys.version.partition(" ")[0],
        "process": os.getpid(),
    }
    # A log that takes nothing must not keep the service from starting.
    with suppress(OSError):
        os.write(sys.__stdout__.fileno(), orjson.dumps(line) + b"\n")
