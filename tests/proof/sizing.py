"""What one instance takes: seconds until it is ready, memory with two workers, requests a second of one
worker on one processor.
"""

import time
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy
import orjson
import psutil
from flask import Flask

from service.advice.sweeps import MOST_CANDIDATES
from service.web.api.lane import LONG_CALLS
from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.proof.load import Load, Question, evaluation
from tests.support.expected import answer, app_with, questions
from tests.support.server import Server

CONNECTIONS = 8
SWEEPS = "/v1/sweeps"
PROCESSOR = 0


def prove(seconds: float = 10.0) -> bool:
    """Print the figures of docker/README.md; true when no request failed while they were taken."""
    app = app_with()
    asked = questions([evaluation(EIGHTEEN_FIELDS)], app)
    largest = [_sweep(app)]
    with TemporaryDirectory() as folder:
        fine = [
            _memory(Path(folder), title, one, seconds)
            for title, one in (("evaluations", asked), (f"sweeps of {MOST_CANDIDATES:,} candidates", largest))
        ]
        return _one_worker(Path(folder), asked, seconds) and all(fine)


def _sweep(app: Flask) -> Question:
    """The largest sweep; while a worker has one, others are asked to come again."""
    boosts = [f"{boost} kPa" for boost in numpy.linspace(20, 120, MOST_CANDIDATES).round(4)]
    body = orjson.dumps({"build": EIGHTEEN_FIELDS, "columns": {"induction.boost": boosts}})
    answered = answer(app, body, SWEEPS)
    assert answered[0] == 200, answered[1][:400]
    with LONG_CALLS.place():
        return Question(body, (answered, answer(app, body, SWEEPS)), SWEEPS)


def _memory(folder: Path, title: str, asked: list[Question], seconds: float) -> bool:
    began = time.monotonic()
    with Server(folder) as server:
        ready = time.monotonic() - began
        idle = _proportional(server)
        with Load(server.port, asked, connections=CONNECTIONS) as load:
            most, until = idle, time.monotonic() + seconds
            while time.monotonic() < until:
                time.sleep(0.1)
                most = max(most, _proportional(server))
            tally = load.stop()
        began = time.monotonic()
    print(
        f"two workers: ready after {ready:.1f} s, stopped within {time.monotonic() - began:.1f} s; master "
        f"and workers together {idle:.0f} MiB idle, at most {most:.0f} MiB under {CONNECTIONS} connections "
        f"with {title}, {sum(one.which for one in tally.answers)} asked to come again; {tally}"
    )
    return tally.errors == 0 and bool(tally.answers)


def _one_worker(folder: Path, asked: list[Question], seconds: float) -> bool:
    with Server(folder, workers=1) as server:
        for one in (*server.masters(), *server.workers()):
            one.cpu_affinity([PROCESSOR])
            # The threads there are already, too.
            for thread in one.threads():
                psutil.Process(thread.id).cpu_affinity([PROCESSOR])
        (worker,) = server.workers()
        with Load(server.port, asked, connections=CONNECTIONS) as load:
            before, began = sum(worker.cpu_times()[:2]), time.monotonic()
            time.sleep(seconds)
            share = (sum(worker.cpu_times()[:2]) - before) / (time.monotonic() - began)
            tally = load.stop()
    print(
        f"one worker held to one processor, of which it had {share:.0%}: {tally.rate / share:,.0f} "
        f"requests a second for a whole one; {tally}"
    )
    return tally.errors == 0 and bool(tally.answers)


def _proportional(server: Server) -> float:
    """Memory in MiB, what is shared counted once (PSS)."""
    return sum(one.memory_full_info().pss for one in (*server.masters(), *server.workers())) / 2**20
