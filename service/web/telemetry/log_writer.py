"""Lines written by a thread of their own: a full disk or a stalled reader costs lines, never an answer."""

import atexit
import fcntl
import os
import select
from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Lock, Thread
from typing import Any

import orjson

from service.web.telemetry.metrics import LINES_LOST

# Bytes that may wait: over a second of lines at full load, and all the memory that a stalled reader costs,
# however long the lines are.
WAITING = 8 * 1024 * 1024
# Lines are gathered for so long before they are written: waking a thread for each costs a fifth of an
# evaluation.
PAUSE = 0.05
PATIENCE = 2.0


class LogWriter:
    """Takes lines without waiting; the next one written says how many could not be."""

    def __init__(self, descriptor: int):
        self._descriptor = descriptor
        self._pid: int | None = None
        # The process that was refused a thread, whose lines are lost until it gets one.
        self._refused: int | None = None
        self._starting = Lock()
        self._begin()

    def _begin(self) -> None:
        self._lines: deque[bytes] = deque()
        self._awake, self._closing = Event(), Event()
        self._thread: Thread | None = None
        self._counting = Lock()
        self._held, self._lost, self._cut = 0, 0, False

    def write(self, line: dict[str, Any]) -> None:
        """Take one line; lost if too many wait already."""
        # A thread does not survive the fork of a worker, so each process starts its own with its first line.
        if self._pid != os.getpid() and not self._start():
            self._count(1)
            return
        # Here and not in the thread: what JSON cannot hold then fails one request, not every line after it.
        content = orjson.dumps(line) + b"\n"
        with self._counting:
            fits = self._held + len(content) <= WAITING
            if fits:
                self._held += len(content)
                self._lines.append(content)
        if not fits:
            self._count(1)
        elif not self._awake.is_set():
            self._awake.set()

    def close(self) -> None:
        """Write what waits, for a while at most."""
        if self._thread is not None and self._pid == os.getpid():
            self._closing.set()
            self._awake.set()
            self._thread.join(PATIENCE)

    def _start(self) -> bool:
        """Whether there is a thread that writes; where none can be made, the next line tries again."""
        with self._starting:
            if self._pid == os.getpid():
                return True
            lost = self._lost if self._refused == os.getpid() else 0
            self._begin()
            self._lost = lost
            self._thread = Thread(target=self._run, name="log", daemon=True)
            try:
                self._thread.start()
            except RuntimeError:
                self._refused, self._thread = os.getpid(), None
                return False
            self._pid = os.getpid()
            atexit.register(self.close)
            return True

    def _run(self) -> None:
        while not self._closing.is_set():
            self._awake.wait()
            self._awake.clear()
            self._closing.wait(PAUSE)
            while self._lines:
                self._write_block()

    def _write_block(self) -> None:
        told = self._lost
        contents = self._gather(told)
        # After a line that was cut short the next starts on a line of its own.
        line_break = b"\n" if self._cut else b""
        block = line_break + b"".join(contents)
        written = self._written(block)
        if written:
            self._cut = block[written - 1 : written] != b"\n"
        # JSON holds no line break, so each one ends a line.
        whole = block[len(line_break) : written].count(b"\n")
        if whole:
            with self._counting:
                self._lost -= told
        if whole < len(contents):
            self._count(len(contents) - whole)

    def _gather(self, told: int) -> list[bytes]:
        """As many lines as a pipe takes in one piece; a longer line goes alone."""
        contents: list[bytes] = []
        size = 0
        while self._lines:
            content = self._lines[0]
            size += len(content)
            if contents and size >= select.PIPE_BUF:
                break
            contents.append(content)
            self._lines.popleft()
        with self._counting:
            self._held -= sum(map(len, contents))
        if told:
            contents[0] = contents[0].removesuffix(b"}\n") + b',"lines_lost":%d}\n' % told
        return contents

    def _written(self, block: bytes) -> int:
        """How many bytes of a block could be written."""
        written = 0
        try:
            with _alone(self._descriptor):
                while written < len(block):
                    written += os.write(self._descriptor, memoryview(block)[written:])
        except OSError:
            # Counted by the caller; there is nowhere else to say it.
            return written
        return written

    def _count(self, lines: int) -> None:
        with self._counting:
            self._lost += lines
        LINES_LOST.inc(lines)


@contextmanager
def _alone(descriptor: int) -> Iterator[None]:
    """No other worker writes meanwhile: into a line longer than a pipe takes in one piece theirs would go."""
    try:
        fcntl.lockf(descriptor, fcntl.LOCK_EX)
    except OSError:
        # Some file systems know no locks; short lines stay whole without.
        yield
        return
    try:
        yield
    finally:
        fcntl.lockf(descriptor, fcntl.LOCK_UN)
