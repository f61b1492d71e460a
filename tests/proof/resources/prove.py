"""All of them, a row each; and the master killed, which is the one that ends the service."""

import time
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import psutil

from tests.proof.resources.fault import PATIENCE, suffer
from tests.proof.resources.faults import FAULTS, missing
from tests.support.server import Server

# gunicorn waits thirty seconds for a word of a worker.
LONGER_THAN_TIMEOUT = 35.0


def prove(seconds: float = 9.0) -> bool:
    """Print a row for each resource; true when each was as promised."""
    held = True
    for fault in FAULTS:
        if reason := missing(fault):
            print(f"{fault.name}: not measured, {reason}")
            continue
        outcome = suffer(fault, seconds)
        print(f"{fault.name}: {outcome}")
        for trouble in outcome.trouble:
            print(f"  MISSED: {trouble}")
        held = held and not outcome.trouble
    held = held and _stopped_for_long()
    ended, ready = master_killed()
    print(
        f"the master, killed: its workers are gone after {ended:.1f} s, a new one answers after {ready:.1f} s"
    )
    return held


def _stopped_for_long() -> bool:
    """A worker that is silent for longer than gunicorn allows is replaced."""
    [stopped] = [fault for fault in FAULTS if fault.name == "a worker, stopped"]
    outcome = suffer(replace(stopped, cuts=True, says="WORKER TIMEOUT"), 3 * LONGER_THAN_TIMEOUT)
    print(f"a worker, stopped for {LONGER_THAN_TIMEOUT:.0f} s: {outcome}")
    for trouble in outcome.trouble:
        print(f"  MISSED: {trouble}")
    return not outcome.trouble


def master_killed() -> tuple[float, float]:
    """Seconds until the workers of a killed master are gone, and until a new one on the same port answers."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        server = Server(folder)
        with server:
            workers = server.workers()
            began = time.monotonic()
            server.masters()[0].kill()
            _, alive = psutil.wait_procs(workers, timeout=PATIENCE)
            assert not alive, "workers outlive their master"
            ended = time.monotonic() - began
        began = time.monotonic()
        with server:
            return ended, time.monotonic() - began
