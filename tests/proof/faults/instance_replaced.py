"""Two instances behind the gateway of docker/, replaced one after the other, and one of them gone without a
word: no client gets anything but its answer.
"""

import socket
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.docker.gateway import NGINX, gateway
from tests.proof.load import Load, Question, Tally, evaluation, run_for
from tests.support.expected import app_with, questions
from tests.support.server import Server

CONNECTIONS, PAUSE = 16, 0.005
SLOW_S = 1.0
# nginx tries an instance that was away again after its fail_timeout of one second, counted in whole seconds:
# before that the other must stay.
NOTICED_S = 3.0


def prove(seconds: float = 10.0) -> bool:
    """Print what the clients saw; true when every question got its answer at the first asking."""
    if NGINX is None:
        print("instances replaced behind the gateway: not tried, nginx is not on this machine")
        return False
    asked = questions([evaluation(EIGHTEEN_FIELDS)], app_with())
    with TemporaryDirectory() as folder:
        replaced, stops = replaced_in_turn([_instance(Path(folder)) for _ in range(2)], asked, seconds)
        silent = one_silent(Path(folder), asked, seconds)
    print(f"two instances replaced in turn behind the gateway: {replaced}")
    print(f"  they stopped within {' and '.join(f'{one:.1f}' for one in stops)} s")
    print(f"one of two instances takes no connection: {silent}")
    print(
        f"  {sum(one.received - one.asked > SLOW_S for one in silent.answers)} answers took longer than "
        f"{SLOW_S:g} s"
    )
    for kind, sample in replaced.samples + silent.samples:
        print(f"  {kind}: {sample[:200]!r}")
    return holds(replaced) and holds(silent)


def replaced_in_turn(
    servers: list[Server], asked: list[Question], seconds: float
) -> tuple[Tally, list[float]]:
    """One instance is stopped and started again, then the other, while clients ask the gateway: the tally,
    and how long each took to stop.
    """
    instances, stops = [(server, ExitStack()) for server in servers], []
    with ExitStack() as running:
        for server, life in instances:
            running.push(life)
            life.enter_context(server)
        front = running.enter_context(gateway(*(server.port for server, _ in instances), rates=False))
        load = running.enter_context(Load(front.port, asked, connections=CONNECTIONS, pause=PAUSE))
        for server, life in instances:
            time.sleep(seconds / 5)
            began = time.monotonic()
            life.close()
            stops.append(time.monotonic() - began)
            time.sleep(seconds / 5)
            life.enter_context(server)
            time.sleep(max(seconds / 5, NOTICED_S))
        return load.stop(), stops


def one_silent(folder: Path, asked: list[Question], seconds: float) -> Tally:
    """One of the two addresses refuses nothing and takes nothing, like that of a machine that is gone."""
    with _instance(folder) as server, _silence() as port, gateway(port, server.port, rates=False) as front:
        return run_for(seconds, front.port, asked, connections=CONNECTIONS, pause=PAUSE)


def holds(tally: Tally) -> bool:
    """Every question got its answer, and no client had to ask again."""
    return tally.errors == tally.repeated == 0 and len(tally.answers) > 0


def _instance(folder: Path) -> Server:
    # Without tokens nobody is answered through a gateway.
    return Server(folder, ALLOW_ANONYMOUS="1")


@contextmanager
def _silence() -> Iterator[int]:
    """A port where connections are neither taken nor refused: its queue is full."""
    with ExitStack() as held:
        listener = held.enter_context(socket.socket())
        listener.bind(("127.0.0.1", 0))
        listener.listen(0)
        for _ in range(4):
            waiting = held.enter_context(socket.socket())
            waiting.setblocking(False)
            waiting.connect_ex(listener.getsockname())
        yield listener.getsockname()[1]
