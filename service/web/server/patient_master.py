"""gunicorn's master, where no process can be made: it tries again instead of ending with all its workers."""

from collections.abc import Callable
from typing import Any


def make_patient(master: Any) -> None:
    """Called as it starts. It looks every second whether a worker is missing, so it tries as often."""
    master.spawn_worker = _forgiving(master, master.spawn_worker, "no worker can be started")
    master.reexec = _forgiving(master, master.reexec, "no successor can be started")


def _forgiving(master: Any, act: Callable[[], Any], trouble: str) -> Callable[[], Any]:
    told = False

    def tried() -> Any:
        nonlocal told
        try:
            done = act()
        except OSError as error:
            if not told:
                master.log.error(
                    "%s (%s); the others keep running, and it is tried again", trouble, error.strerror
                )
            told = True
            return None
        told = False
        return done

    return tried
