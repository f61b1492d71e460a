"""The same builds in three lives of the service, on two workers, under other hash seeds and in other orders:
the same bytes each time, and those of the app in this process.
"""

import random
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.proof.load import evaluation
from tests.support.expected import answer, app_with
from tests.support.random_builds import random_builds
from tests.support.server import Server

LIVES = 3
DETAILS = ("spoken", "summary", "full")
HEADERS = {"Content-Type": "application/json"}


def prove(builds: int = 1000, lives: int = LIVES) -> bool:
    """Print how many answers differed; true when none did and every worker took part."""
    bodies, app = bodies_of(builds), app_with()
    here = [answer(app, body) for body in bodies]
    differing, served, seen = set(), Counter(), []
    for life in range(lives):
        with TemporaryDirectory() as folder, Server(Path(folder), PYTHONHASHSEED=str(life + 1)) as server:
            there, by = ask_all(server, bodies, life)
        served += by
        seen.append(sha256(b"".join(body for _, body in there)).hexdigest())
        differing |= {
            number for number, (one, other) in enumerate(zip(here, there, strict=False)) if one != other
        }
    statuses = Counter(status for status, _ in here)
    print(
        f"{builds:,} builds in {lives} lives: {len(served)} workers answered "
        f"{', '.join(str(number) for number in served.values())} requests; statuses "
        f"{dict(sorted(statuses.items()))}; answers that differ from this process {len(differing)}; "
        f"digests of all bytes: {len(set(seen))}"
    )
    for number in sorted(differing)[:3]:
        print(f"  differs: {bodies[number][:300]!r}")
    return not differing and len(set(seen)) == 1 and len(served) == 2 * lives


def bodies_of(builds: int) -> list[bytes]:
    """Random builds, each asked for in one of the details and units."""
    return [
        evaluation(build, detail=DETAILS[number % 3], units=("metric", "us")[number % 2])
        for number, build in enumerate(random_builds(builds))
    ]


def ask_all(server: Server, bodies: list[bytes], life: int) -> tuple[list[tuple[int, bytes]], Counter]:
    """Every body once, in an order and on a worker of this life's own, both workers at once."""
    source = random.Random(life)
    connections = sorted(server.connection_to_each().items())
    order = [
        (source.randrange(len(connections)), number)
        for number in source.sample(range(len(bodies)), len(bodies))
    ]

    def ask(which: int) -> dict[int, tuple[int, bytes]]:
        connection = connections[which][1]
        got = {}
        for worker, number in order:
            if worker == which:
                connection.request("POST", "/v1/evaluations", bodies[number], HEADERS)
                reply = connection.getresponse()
                got[number] = reply.status, reply.read()
        return got

    with ThreadPoolExecutor(len(connections)) as pool:
        parts = list(pool.map(ask, range(len(connections))))
    for _, connection in connections:
        connection.close()
    got = {number: one for part in parts for number, one in part.items()}
    return [got[number] for number in range(len(bodies))], Counter(
        {pid: len(part) for (pid, _), part in zip(connections, parts, strict=False)}
    )
