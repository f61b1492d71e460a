"""Replace a running service by one with the rules, catalog and tokens of now, without a request failing.

What the new one would load is tried first, and a mistake in it named. Then a second gunicorn master starts
beside the first on the same socket. It has its pid file only once its rules are loaded, its examples came out
and its workers are about to take requests; then the first is asked to finish what it has and go. If the
second does not come up, the first goes on as before.
"""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from service.errors import ServiceError

PATIENCE = 120.0
# Polled this often; a roll takes seconds.
PAUSE = 0.05


def roll(pidfile: Path, patience: float = PATIENCE) -> int:
    """0 once the new one answers alone; ServiceError where it did not come up and nothing has changed."""
    try:
        return _roll(pidfile, patience)
    except (FileNotFoundError, ProcessLookupError) as error:
        raise ServiceError(
            f"The service that {pidfile} named ended meanwhile. Look at its log, and start it again."
        ) from error


def _roll(pidfile: Path, patience: float) -> int:
    old = _pid(pidfile)
    if old is None or not _runs(old):
        raise ServiceError(f"{pidfile} names no running service. Start it with PIDFILE={pidfile}.")
    successor = pidfile.with_name(pidfile.name + ".2")
    if successor.exists():
        raise ServiceError(
            f"{successor} is there: another roll is under way, or one was broken off. "
            "Wait for it, or stop that process and delete the file."
        )
    # The process itself, not its number, which another one may get once it has ended.
    process = os.pidfd_open(old)
    try:
        return _replace(process, old, pidfile, successor, patience)
    finally:
        os.close(process)


def _replace(process: int, old: int, pidfile: Path, successor: Path, patience: float) -> int:
    settings = _settings_of(old)
    if not _is_the_service(old, settings, pidfile):
        raise ServiceError(
            f"{pidfile} names no running service: process {old} is another program, and it was left alone. "
            f"The service ended without taking the file away. Start it with PIDFILE={pidfile}."
        )
    _rehearse(old, settings)
    started = time.monotonic()
    signal.pidfd_send_signal(process, signal.SIGUSR2)
    new = _wait_for_successor(old, successor, patience)
    print(
        f"{time.monotonic() - started:.1f} s: the new service (pid {new}) has loaded its rules "
        f"and takes requests; the old one (pid {old}) finishes what it has"
    )
    signal.pidfd_send_signal(process, signal.SIGTERM)
    _retired(old, new, pidfile, patience)
    print(f"{time.monotonic() - started:.1f} s: the old one is gone")
    return 0


def _retired(old: int, new: int, pidfile: Path, patience: float) -> None:
    _until(
        lambda: not _runs(old),
        patience,
        f"The old service (pid {old}) does not stop; both answer. "
        "Look at what it is doing before you kill it.",
    )
    # The new one takes over the pid file a moment later; a roll that follows looks there.
    _until(
        lambda: _pid(pidfile) == new,
        patience,
        f"The new service (pid {new}) answers, but {pidfile} does not name it.",
    )


def _settings_of(old: int) -> dict[str, str]:
    try:
        environment = os.fsdecode(Path(f"/proc/{old}/environ").read_bytes())
    except PermissionError as error:
        raise ServiceError(
            f"The service (pid {old}) belongs to another user; nothing was changed. Roll it as that user."
        ) from error
    return dict(entry.split("=", 1) for entry in environment.split("\0") if "=" in entry)


def _is_the_service(pid: int, settings: dict[str, str], pidfile: Path) -> bool:
    """Whether a process is a gunicorn that was started with this pid file and waits for the signal. Any other
    program that got the number would be killed by it.
    """
    command = os.fsdecode(Path(f"/proc/{pid}/cmdline").read_bytes())
    named = settings.get("PIDFILE")
    if "gunicorn" not in command or not named:
        return False
    is_named = (Path(f"/proc/{pid}/cwd").resolve() / named).resolve() == pidfile.resolve()
    return is_named and _catches(pid, signal.SIGUSR2)


def _catches(pid: int, number: signal.Signals) -> bool:
    lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    caught = next(line.split()[1] for line in lines if line.startswith("SigCgt:"))
    return bool(int(caught, 16) >> (number - 1) & 1)


def _rehearse(old: int, settings: dict[str, str]) -> None:
    """Load what the new service would load, as the old one would: a mistake is named, nothing is touched."""
    settings.pop("PROMETHEUS_MULTIPROC_DIR", None)
    tried = subprocess.run(
        [sys.executable, "-c", "import service.wsgi"],
        env=settings,
        cwd=Path(f"/proc/{old}/cwd").resolve(),
        capture_output=True,
        text=True,
        check=False,
    )
    if tried.returncode:
        raise ServiceError(f"Nothing was changed; the old service keeps running.\n{tried.stderr.strip()}")


def _wait_for_successor(old: int, successor: Path, patience: float) -> int:
    seen, new = False, None

    def up() -> bool:
        nonlocal seen, new
        new = _pid(successor)
        if new:
            return True
        starting = _is_starting(old)
        if seen and not starting:
            raise ServiceError(
                "The new service did not start; what was wrong is in the service's own log. "
                "The old one keeps running."
            )
        seen = starting
        return False

    _until(up, patience, f"The new service is not up after {patience:g} s; the old one keeps running.")
    assert new is not None  # _until ends only once up() has read it
    return new


def _is_starting(old: int) -> bool:
    """Whether a master with this predecessor is among its children; workers name an earlier one, or none."""
    for child in Path(f"/proc/{old}/task/{old}/children").read_text().split():
        try:
            if f"GUNICORN_PID={old}".encode() in Path(f"/proc/{child}/environ").read_bytes().split(b"\0"):
                return True
        except OSError:
            # Gone since it was listed.
            continue
    return False


def _until(done: Callable[[], bool], patience: float, otherwise: str) -> None:
    deadline = time.monotonic() + patience
    while not done():
        if time.monotonic() > deadline:
            raise ServiceError(otherwise)
        time.sleep(PAUSE)


def _pid(path: Path) -> int | None:
    try:
        return int(path.read_text())
    except (OSError, ValueError):
        return None


def _runs(pid: int) -> bool:
    try:
        # A zombie has ended, though its parent has not asked for it yet.
        return ") Z " not in Path(f"/proc/{pid}/stat").read_text()
    except OSError:
        return False
