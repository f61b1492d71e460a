"""Twenty clients that send a byte every half second hold nothing: neither straight at gunicorn nor behind
the gateway.
"""

import socket
import threading
import time
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.docker.gateway import NGINX, gateway
from tests.proof.load import Load, Question, Tally, evaluation
from tests.support.expected import app_with, questions
from tests.support.server import Server

SLOW, PAUSE = 20, 0.5
# Below the gateway's own limit for one address, which is not what is looked at here; the slow clients count
# towards it.
CONNECTIONS, THINKS = 8, 0.5


def prove(seconds: float = 10.0) -> bool:
    """Print the normal load beside the slow clients, direct and through the gateway; true when nothing was
    lost and p99 stayed within a second.
    """
    asked = questions([evaluation(EIGHTEEN_FIELDS)], app_with())
    # What a gateway forwards needs a token, or this.
    with TemporaryDirectory() as name, Server(Path(name), ALLOW_ANONYMOUS="1") as server:
        direct, recovery = _beside_slow_clients(server.port, asked, seconds)
        print(f"{SLOW} slow clients straight at gunicorn (8 threads in all): {direct}")
        print(f"  {_held_up(direct)}; {recovery:.2f} s after the slow clients went all was answered again")
        if NGINX is None:
            print("the same through nginx: not measured, nginx is not installed")
            return False
        with gateway(server.port) as front:
            through, _ = _beside_slow_clients(front.port, asked, seconds)
    print(f"the same through nginx: {through}")
    print(f"  {_held_up(through)}")
    return all(
        tally.errors == 0 and len(tally.answers) > 0 and tally.latency(0.99) < 1000
        for tally in (direct, through)
    )


def _beside_slow_clients(port: int, asked: list[Question], seconds: float) -> tuple[Tally, float]:
    with Load(port, asked, connections=CONNECTIONS, pause=THINKS) as load:
        time.sleep(seconds / 5)
        with slow_clients(port):
            time.sleep(seconds * 3 / 5)
        gone = time.monotonic()
        time.sleep(seconds / 5)
        tally = load.stop()
    return tally, min(
        (one.received - gone for one in tally.answers if one.received > gone), default=float("nan")
    )


def _held_up(tally: Tally) -> str:
    held = sum(one.received - one.asked > 1 for one in tally.answers)
    return (
        f"{held} answers took over a second; longest time without any answer {tally.longest_silence():.1f} s"
    )


@contextmanager
def slow_clients(port: int):
    """Connections that have begun a request and go on with a byte now and then."""
    opened = []
    for _ in range(SLOW):
        opened.append(socket.create_connection(("127.0.0.1", port), timeout=5))
        # All at once they would all be taken by one worker.
        time.sleep(0.02)
    over = threading.Event()

    def drip() -> None:
        letters = iter(
            b"POST /v1/evaluations HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
            b"Content-Length: 60000\r\n\r\n" + b" " * 60000
        )
        while not over.is_set():
            byte = bytes([next(letters)])
            for one in opened:
                try:
                    one.sendall(byte)
                except OSError:
                    # Turned away: that is one way to deal with it.
                    continue
            over.wait(PAUSE)

    dripping = threading.Thread(target=drip)
    dripping.start()
    try:
        yield
    finally:
        over.set()
        dripping.join()
        for one in opened:
            one.close()
