"""A worker is killed outright: at most the requests in flight on it are cut, and the others never notice."""

import time
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.proof.load import Load, Question, Tally, evaluation
from tests.support.expected import app_with, questions
from tests.support.server import Server

CONNECTIONS = 16


def prove(seconds: float = 10.0) -> bool:
    """Print what a SIGKILL cost; true when nothing was wrong and no more was cut than the killed worker had
    open.
    """
    with TemporaryDirectory() as folder, Server(Path(folder)) as server:
        tally, open_there, all_answer, killed_at = kill_one(
            server, questions([evaluation(EIGHTEEN_FIELDS)], app_with()), seconds
        )
    cut = tally.repeated + tally.lost
    print(f"a worker killed: {tally}")
    print(
        f"  connections on it {open_there}, requests cut {cut}; first answer on a new connection after "
        f"{tally.first_new_connection_after(killed_at):.3f} s, all workers answer after {all_answer:.3f} s"
    )
    for how, _ in tally.samples:
        print(f"  {how}")
    return holds(tally, open_there)


def kill_one(server: Server, asked: list[Question], seconds: float) -> tuple[Tally, int, float, float]:
    """SIGKILL in the middle of a load: the tally, the connections open on the worker, seconds until all
    workers answer, the moment.
    """
    with Load(server.port, asked, connections=CONNECTIONS, pause=0.005) as load:
        time.sleep(seconds / 2)
        victim = server.workers()[0]
        # Held still, so that what is counted is what it has when it dies.
        victim.suspend()
        open_there = server.connections_of(victim)
        killed_at = time.monotonic()
        victim.kill()
        all_answer = server.seconds_until_all_answer(killed_at)
        time.sleep(max(seconds / 2 - all_answer, 0))
        return load.stop(), open_there, all_answer, killed_at


def holds(tally: Tally, open_there: int) -> bool:
    """Nothing wrong, nothing refused, and no more cut than could be in flight."""
    return (
        tally.wrong == tally.status == tally.refused == 0
        and tally.repeated + tally.lost <= open_there
        and len(tally.answers) > 0
    )
