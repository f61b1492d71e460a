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


def report(build: dict, rounds: int = 3) -> None:
    """Print rate and latency of evaluations and of the echo, two workers each."""
    body = evaluation(build)
    for title, asked, settings in (
        ("evaluation", questions([body], app_with()), {}),
        (
            "echo",
            questions([body], echo_app(), path="/echo"),
            {"target": "tests.benchmarks.wsgi:echo_app()", "ready": ("/echo", 405)},
        ),
    ):
        with TemporaryDirectory() as folder, Server(Path(folder), **settings) as server:
            tallies = [run_for(SECONDS, server.port, asked, connections=CONNECTIONS) for _ in range(rounds)]
        rates, p99 = [one.rate for one in tallies], [one.latency(0.99) for one in tallies]
        print(
            f"gunicorn, 2 workers, {CONNECTIONS} connections, {title}: {statistics.median(rates):.0f} "
            f"[{min(rates):.0f}..{max(rates):.0f}] req/s, p99 {statistics.median(p99):.1f} "
            f"[{min(p99):.1f}..{max(p99):.1f}] ms, errors {sum(one.errors for one in tallies)}"
        )
