"""Nobody takes the log: the disk is full, for good or for a while, or the reader of the pipe stalls. Lines
are lost, answers are not.
"""

import os
import shutil
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import orjson

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.proof.faults.worker_killed import CONNECTIONS, holds, kill_one
from tests.proof.load import Load, Question, evaluation, run_for
from tests.support.expected import app_with, questions
from tests.support.server import Server

SMALL = 64 * 1024
# Lines are gathered for 50 ms before they are written.
WRITTEN_S = 0.5


def prove(seconds: float = 10.0) -> bool:
    """Print what each cost; true when no request was lost or answered wrongly, and a killed worker costs no
    more than ever.
    """
    asked = questions([evaluation(EIGHTEEN_FIELDS)], app_with())
    with open("/dev/full", "wb") as full:
        disk = _under_load("both outputs on a full disk", seconds, asked, stdout=full, stderr=full)
    with StalledPipe() as pipe:
        pipe.fill()
        reader = _under_load("a stalled reader of standard output", seconds, asked, stdout=pipe.end)
    return (
        disk and reader and _both_on_one_pipe(seconds, asked) and _disk_fills_and_is_emptied(seconds, asked)
    )


def _under_load(title: str, seconds: float, asked: list[Question], **output) -> bool:
    with TemporaryDirectory() as folder, Server(Path(folder), **output) as server:
        calm = run_for(seconds / 2, server.port, asked, connections=CONNECTIONS, pause=0.005)
        killed, open_there, all_answer, _ = kill_one(server, asked, seconds / 2)
        own = [one.memory_full_info().uss / 1e6 for one in server.workers()]
        asked_to_stop = time.monotonic()
    stopped = time.monotonic() - asked_to_stop
    print(f"{title}: {calm}")
    print(f"  a worker killed meanwhile: {killed}")
    print(
        f"  it had {open_there} connections; all workers answer after {all_answer:.2f} s; the workers hold "
        f"{' and '.join(f'{one:.0f}' for one in own)} MB of their own; the service stops in {stopped:.1f} s"
    )
    return calm.errors == calm.repeated == 0 and len(calm.answers) > 0 and holds(killed, open_there)


def _both_on_one_pipe(seconds: float, asked: list[Question]) -> bool:
    """gunicorn writes its own lines without a queue: its master waits for the reader before it replaces a
    worker. Said, not asserted.
    """
    with (
        StalledPipe() as pipe,
        TemporaryDirectory() as folder,
        Server(Path(folder), stdout=pipe.end, stderr=pipe.end) as server,
    ):
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
    print(
        f"  the worker was {'' if replaced else 'not '}replaced while the reader stalled; all workers "
        f"answer {all_answer:.2f} s after it read again"
    )
    return tally.wrong == tally.status == tally.refused == 0 and len(tally.answers) > 0


def _disk_fills_and_is_emptied(seconds: float, asked: list[Question]) -> bool:
    """A disk of SMALL bytes fills under load and is emptied, twice: the log goes on, and every line is there
    or told of as lost.
    """
    with TemporaryDirectory() as name, _small_disk(Path(name)) as disk:
        if disk is None:
            print("a disk that fills: not tried, no file system can be mounted here")
            return False
        log, parts = disk / "log", []

        def empty() -> None:
            parts.append(log.read_bytes())
            # The service keeps its descriptor, which was opened to append.
            os.truncate(log, 0)

        with (
            log.open("ab") as out,
            TemporaryDirectory() as folder,
            Server(Path(folder), stdout=out) as server,
        ):
            with Load(server.port, asked, connections=CONNECTIONS, pause=0.005) as load:
                time.sleep(seconds / 2)
                left = shutil.disk_usage(disk).free
                empty()
                time.sleep(seconds / 2)
                tally = load.stop()
            time.sleep(WRITTEN_S)
            empty()
            # Each worker tells of its own lines with the next that it writes.
            each = server.connection_to_each().values()
            for connection in each:
                connection.request("POST", asked[0].path, asked[0].body, {"Content-Type": "application/json"})
                connection.getresponse().read()
                connection.close()
            time.sleep(WRITTEN_S)
            empty()
    lines = [_whole(part) for part in parts]
    there, told = sum(map(len, lines)), sum(line.get("lines_lost", 0) for part in lines for line in part)
    wanted = len(tally.answers) + len(each)
    print(f"a disk of {SMALL >> 10} KiB that fills under load and is emptied, twice: {tally}")
    print(
        f"  {left} bytes were left; {' + '.join(str(len(part)) for part in lines)} lines were written and "
        f"{told} told of as lost, of {wanted}"
    )
    return tally.errors == tally.repeated == left == 0 and all(lines) and told > 0 and there + told == wanted


def _whole(content: bytes) -> list[dict]:
    """The lines of a log that were not cut short."""
    found = []
    for line in content.splitlines():
        try:
            found.append(orjson.loads(line))
        except orjson.JSONDecodeError:
            continue
    return found


@contextmanager
def _small_disk(folder: Path) -> Iterator[Path | None]:
    """A file system of SMALL bytes in memory; None where none may be mounted."""
    mounted = (
        subprocess.run(
            ["mount", "-t", "tmpfs", "-o", f"size={SMALL}", "tmpfs", str(folder)],
            capture_output=True,
            check=False,
        ).returncode
        == 0
    )
    try:
        yield folder if mounted else None
    finally:
        if mounted:
            subprocess.run(["umount", str(folder)], check=True)


class StalledPipe:
    """A pipe whose reading end is open and not read until drain()."""

    def __enter__(self) -> "StalledPipe":
        self._read, write = os.pipe()
        self.end = os.fdopen(write, "wb")
        return self

    def fill(self) -> None:
        """Until not one more byte is taken."""
        # A description of its own, since not to block is a property of the description and the service shares
        # the other.
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
