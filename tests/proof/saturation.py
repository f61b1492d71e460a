"""64 kept-alive connections that never think, against two workers: errors, rate and latency beside the echo
under the same load, and what happens to memory.
"""

import threading
import time
from collections import defaultdict
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import psutil

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.benchmarks.wsgi import echo_app
from tests.proof.load import Tally, evaluation, run_for
from tests.support.expected import app_with, questions
from tests.support.server import Server

CONNECTIONS, PROCESSES = 64, 2
ECHO_SECONDS = 5.0
# A life shorter than this has no slope worth a figure.
SAMPLES = 20


class Memory:
    """Samples of the memory that each worker has to itself (USS, MB) and of its connections, once a second
    while a context lasts.
    """

    def __init__(self, server: Server):
        self._server, self._over = server, threading.Event()
        self.lives: dict[int, list[tuple[float, float]]] = defaultdict(list)
        self.sums: list[tuple[float, float]] = []
        # How the connections were spread over the workers, each time.
        self.spread: list[list[int]] = []

    def __enter__(self) -> "Memory":
        self._thread = threading.Thread(target=self._watch)
        self._thread.start()
        return self

    def __exit__(self, *_) -> None:
        self._over.set()
        self._thread.join()

    def _watch(self) -> None:
        while not self._over.wait(1.0):
            now, total, connected = time.monotonic(), 0.0, []
            for worker in self._server.workers():
                try:
                    own = worker.memory_full_info().uss / 1e6
                    connected.append(self._server.connections_of(worker))
                except psutil.Error:
                    continue
                self.lives[worker.pid].append((now, own))
                total += own
            self.sums.append((now, total))
            self.spread.append(sorted(connected))


def slope(samples: list[tuple[float, float]]) -> float:
    """Least-squares slope in MB a minute over the last three quarters."""
    moments, sizes = np.array(samples[len(samples) // 4 :]).T
    return float(np.polyfit(moments - moments[0], sizes, 1)[0]) * 60


def prove(seconds: float = 60.0) -> bool:
    """Print rate, latency and memory with the settings shipped and without replacing workers; true when no
    request failed.
    """
    body = evaluation(EIGHTEEN_FIELDS)
    asked, echoed = questions([body], app_with()), questions([body], echo_app(), path="/echo")
    before = _echo(echoed)
    shipped = _saturate("as shipped", asked, seconds)
    # Replacing workers would hide a leak.
    unreplaced = _saturate(
        "workers never replaced", asked, seconds, GUNICORN_CMD_ARGS="--max-requests 0 --max-requests-jitter 0"
    )
    after = _echo(echoed)
    rates = sorted(one.rate for one in (before, after))
    print(
        f"beside the echo: {shipped.rate / rates[1]:.2f} to {shipped.rate / rates[0]:.2f} of its rate, p99 "
        f"{shipped.latency(0.99):.0f} against {before.latency(0.99):.0f} and {after.latency(0.99):.0f} ms"
    )
    return all(one.errors == 0 and one.answers for one in (before, shipped, unreplaced, after))


def _echo(asked: list) -> Tally:
    with (
        TemporaryDirectory() as folder,
        Server(Path(folder), target="tests.benchmarks.wsgi:echo_app()", ready=("/echo", 405)) as server,
    ):
        tally = run_for(ECHO_SECONDS, server.port, asked, connections=CONNECTIONS, processes=PROCESSES)
    print(f"echo, {CONNECTIONS} connections: {tally}")
    return tally


def _saturate(title: str, asked: list, seconds: float, **settings: str) -> Tally:
    with TemporaryDirectory() as folder, Server(Path(folder), **settings) as server, Memory(server) as memory:
        tally = run_for(seconds, server.port, asked, connections=CONNECTIONS, processes=PROCESSES)
    print(f"{title}, {CONNECTIONS} connections: {tally}")
    for kind, sample in tally.samples:
        print(f"  {kind}: {sample[:200]!r}")
    print(f"  connections on each worker halfway: {memory.spread[len(memory.spread) // 2]}")
    lives = [life for life in memory.lives.values() if len(life) >= SAMPLES]
    print(f"  memory of all workers {_course(memory.sums)}")
    for life in lives:
        print(f"  one worker's life of {life[-1][0] - life[0][0]:.0f} s: {_course(life)}")
    print(
        f"  {len(memory.lives)} workers in all, {len(memory.lives) - len(lives)} of them with fewer than "
        f"{SAMPLES} samples"
    )
    return tally


def _course(samples: list[tuple[float, float]]) -> str:
    if len(samples) < SAMPLES:
        return "too few samples"
    return (
        f"{samples[0][1]:.1f} MB at first, {samples[-1][1]:.1f} at last; slope over the last three "
        f"quarters {slope(samples):+.2f} MB a minute"
    )
