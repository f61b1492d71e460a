"""Nobody takes the log: the disk is full, or the reader of the pipe stalls. Lines are lost, answers are not."""

import os
import threading
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.proof.expected import app_with, questions
from tests.proof.faults.worker_killed import CONNECTIONS, holds, kill_one
from tests.proof.load import Load, Question, evaluation, run_for
from tests.proof.server import Server


def prove(seconds: float = 10.0) -> bool:
    """Print what each cost; true when no request was lost or answered wrongly, and a killed worker costs no more than ever."""
    asked = questions([evaluation(EIGHTEEN_FIELDS)], app_with())
    with open("/dev/full", "wb") as full:
        disk = _under_load("both outputs on a full disk", seconds, asked, stdout=full, stderr=full)
    with StalledPipe() as pipe:
        pipe.fill()
        reader = _under_load("a stalled reader of standard output", seconds, asked, stdout=pipe.end)
    return disk and reader and _both_on_one_pipe(seconds, asked)


def _under_load(title: str, seconds: float, asked: list[Question], **output) -> bool:
    with TemporaryDirectory() as folder, Server(Path(folder), **output) as server:
        calm = run_for(seconds / 2, server.port, asked, connections=CONNECTIONS, pause=0.005)
        killed, open_there, all_answer, _ = kill_one(server, asked, seconds / 2)
        own = [one.memory_full_info().uss / 1e6 for one in server.workers()]
        asked_to_stop = time.monotonic()
    stopped = time.monotonic() - asked_to_stop
    print(f"{title}: {calm}")
    print(f"  a worker killed meanwhile: {killed}")
    print(f"  it had {open_there} connections; all workers answer after {all_answer:.2f} s; the workers hold {' and '.join(f'{one:.0f}' for one in own)} MB of their own; the service stops in {stopped:.1f} s")
    return calm.errors == calm.repeated == 0 and len(calm.answers) > 0 and holds(killed, open_there)


def _both_on_one_pipe(seconds: float, asked: list[Question]) -> bool:
    """gunicorn writes its own lines without a queue: its master waits for the reader before it replaces a worker. Said, not asserted."""
    with StalledPipe() as pipe, TemporaryDirectory() as folder, Server(Path(folder), stdout=pipe.end, stderr=pipe.end) as server:
        pipe.fill()
        with Load(server.port, asked, connections=CONNECTIONS, pause=0.005) as load:
            time.sleep(seconds / 4)
            victim = server.workers()[0]
            victim.kill()
            time.sleep(seconds / 2)
            replaced = len(server.workers()) == server.workers_wanted
            pipe.drain()
            all_answer = server.seconds_until_all_answer(time.monotonic())
            tally = load.stop()
    print(f"both outputs on one pipe whose reader stalls, a worker killed meanwhile: {tally}")
    print(f"  the worker was {'' if replaced else 'not '}replaced while the reader stalled; all workers answer {all_answer:.2f} s after it read again")
    return tally.wrong == tally.status == tally.refused == 0 and len(tally.answers) > 0


class StalledPipe:
    """A pipe whose reading end is open and not read until drain()."""

    def __enter__(self) -> "StalledPipe":
        self._read, write = os.pipe()
        self.end = os.fdopen(write, "wb")
        return self

    def fill(self) -> None:
        """Until not one more byte is taken."""
        # A description of its own, since not to block is a property of the description and the service shares the other.
        filler = os.open(f"/proc/self/fd/{self.end.fileno()}", os.O_WRONLY | os.O_NONBLOCK)
        try:
            for size in (4096, 1):
                while True:
                    try:
                        os.write(filler, b"\n" * size)
                    except BlockingIOError:
                        break
        finally:
            os.close(filler)

    def drain(self) -> None:
        """Read again, for as long as anybody writes."""

        def read() -> None:
            while os.read(self._read, 65536):
                pass

        self.end.close()
        self._reader = threading.Thread(target=read)
        self._reader.start()

    def __exit__(self, *_) -> None:
        self.end.close()
        if hasattr(self, "_reader"):
            self._reader.join()
        os.close(self._read)
