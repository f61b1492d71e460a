"""Single evaluations at saturation, alone and beside clients that send the dearest batches: too many of those
are asked to come again, and the short calls keep their lane.
"""

import http.client
import threading
import time
from collections import Counter
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.proof.dearest import dearest_batch
from tests.proof.load import evaluation, run_for
from tests.support.expected import app_with, questions
from tests.support.server import Server

CONNECTIONS, BATCHES = 8, 4
MOST_SLOWER = 3.0
PATH = "/v1/evaluation-batches"


def prove(seconds: float = 60.0) -> bool:
    """Print both; true when none failed, some batches were answered and others refused at once, and p99 is at
    most three times as long.
    """
    asked = questions([evaluation(EIGHTEEN_FIELDS)], app_with())
    with TemporaryDirectory() as name, Server(Path(name)) as server:
        alone = run_for(seconds / 2, server.port, asked, connections=CONNECTIONS)
        with batches(server.port) as sent:
            beside = run_for(seconds, server.port, asked, connections=CONNECTIONS)
        after = run_for(seconds / 2, server.port, asked, connections=CONNECTIONS)
    # The machine has other work: what it did before and after is the measure.
    slowest = max(alone.latency(0.99), after.latency(0.99))
    print(f"alone: {alone}")
    print(f"beside {BATCHES} streams of the dearest batches: {beside}")
    print(f"alone again: {after}")
    print(
        f"  p99 {beside.latency(0.99) / slowest:.1f} times as long; batches by status {dict(sent.statuses)}, "
        f"the slowest refusal after {max(sent.refused_after, default=0.0):.2f} s"
    )
    return (
        alone.errors == beside.errors == after.errors == 0
        and set(sent.statuses) == {200, 503}
        and beside.latency(0.99) <= MOST_SLOWER * slowest
    )


class Sent:
    """What came of the batches."""

    def __init__(self) -> None:
        self.statuses: Counter[int] = Counter()
        self.refused_after: list[float] = []


@contextmanager
def batches(port: int, streams: int = BATCHES):
    """Clients that send one batch after the other, and come again when they are told to."""
    body, over, sent = dearest_batch(), threading.Event(), Sent()

    def stream() -> None:
        while not over.is_set():
            connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
            asked = time.monotonic()
            connection.request("POST", PATH, body, {"Content-Type": "application/json"})
            response = connection.getresponse()
            response.read()
            connection.close()
            sent.statuses[response.status] += 1
            if response.status == 503:
                sent.refused_after.append(time.monotonic() - asked)
                over.wait(float(response.getheader("Retry-After")))

    threads = [threading.Thread(target=stream) for _ in range(streams)]
    for thread in threads:
        thread.start()
    try:
        yield sent
    finally:
        over.set()
        for thread in threads:
            thread.join()
