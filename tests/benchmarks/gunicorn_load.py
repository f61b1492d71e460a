"""Requests a second through gunicorn on loopback, evaluations beside the echo; the load of the proofs, which
compares every answer.
"""

import statistics
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.wsgi import echo_app
from tests.proof.load import evaluation, run_for
from tests.support.expected import app_with, questions
from tests.support.server import Server

CONNECTIONS = 8
SECONDS = 3.0
# So long that a hundredth of it is more than a handful of answers.
STEADY_SECONDS = 8.0


def report(build: dict, rounds: int = 3) -> None:
    """Print rate and latency of evaluations and of the echo, two workers each: as fast as they go, then both
    at a third of what evaluations reached.
    """
    body = evaluation(build)
    servers = (
        ("default call", questions([body], app_with()), {}),
        (
            "echo",
            questions([body], echo_app(), path="/echo"),
            {"target": "tests.benchmarks.wsgi:echo_app()", "ready": ("/echo", 405)},
        ),
    )
    pause = 0.0
    steady = []
    for title, asked, settings in servers:
        with TemporaryDirectory() as folder, Server(Path(folder), **settings) as server:
            tallies = [run_for(SECONDS, server.port, asked, connections=CONNECTIONS) for _ in range(rounds)]
            rates, p99 = [one.rate for one in tallies], [one.latency(0.99) for one in tallies]
            print(
                f"gunicorn, 2 workers, {CONNECTIONS} connections, {title}: {statistics.median(rates):.0f} "
                f"[{min(rates):.0f}..{max(rates):.0f}] req/s, p99 {statistics.median(p99):.1f} "
                f"[{min(p99):.1f}..{max(p99):.1f}] ms, errors {sum(one.errors for one in tallies)}"
            )
            pause = pause or 3 * CONNECTIONS / statistics.median(rates)
            steady.append(run_for(STEADY_SECONDS, server.port, asked, connections=CONNECTIONS, pause=pause))
    ours, theirs = steady
    print(
        f"the same at a third of that rate, {ours.rate:.0f} and {theirs.rate:.0f} req/s: default call p50 "
        f"{ours.latency(0.5):.1f}, p99 {ours.latency(0.99):.1f} ms, echo p50 {theirs.latency(0.5):.1f}, p99 "
        f"{theirs.latency(0.99):.1f} ms, p99 {ours.latency(0.99) / theirs.latency(0.99):.1f} times"
    )
