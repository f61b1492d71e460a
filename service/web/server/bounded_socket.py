"""A client's connection on which nothing takes for ever; it keeps what came before a thread reads it."""

import errno
import re
import socket
import time
from typing import Any

# Seconds for a whole request, from its first byte: a megabyte at 100 KB a second.
READING = 10.0
# Seconds until the next piece of an answer is taken.
WRITING = 10.0
# Bytes that are kept of a request that is not whole yet: a build with its head.
MOST_KEPT = 80 * 1024
_PIECE = 64 * 1024
_LENGTH = re.compile(rb"\r\ncontent-length:[ \t]*([0-9]{1,9})[ \t]*\r\n", re.IGNORECASE)
# Who says so waits for a word before the body, or the length is not known: a thread has to read on.
_NOT_AWAITED = re.compile(rb"\r\n(expect|transfer-encoding):", re.IGNORECASE)


class BoundedSocket(socket.socket):
    """Blocks no longer than it takes a patient server to give up."""

    def __init__(self, *of: Any, **what: Any):
        super().__init__(*of, **what)
        self.early = bytearray()
        self._deadline: float | None = None
        self._drained = 0

    @classmethod
    def of(cls, connection: socket.socket) -> "BoundedSocket":
        """The same connection; the other object no longer has it."""
        bounded = cls(fileno=connection.detach())
        bounded.setblocking(False)
        return bounded

    @property
    def deadline(self) -> float:
        """When the request in hand has to be here; set by its first byte."""
        if self._deadline is None:
            self._deadline = time.monotonic() + READING
        return self._deadline

    def end_request(self) -> None:
        """The next one has its own time."""
        self._deadline = None

    def gather(self) -> bool:
        """Take what came; whether a thread can read a whole request now, or has to see what this is."""
        while not _is_whole(self.early) and len(self.early) < MOST_KEPT:
            try:
                piece = super().recv(_PIECE)
            except BlockingIOError:
                return False
            except OSError:
                # Broken off: the thread meets it too, and ends the connection.
                return True
            if not piece:
                return True
            self.early += piece
        return True

    def drain(self) -> bool:
        """Let go of what still comes; whether more may come."""
        self.early.clear()
        try:
            piece = super().recv(_PIECE)
        except BlockingIOError:
            return True
        except OSError:
            return False
        self._drained += len(piece)
        return bool(piece) and self._drained < MOST_KEPT

    def setblocking(self, flag: bool, /) -> None:
        """What blocks does so for a while."""
        if flag:
            self.settimeout(WRITING)
        else:
            super().setblocking(False)

    def recv(self, size: int, flags: int = 0, /) -> bytes:
        """What came before, then more; as if the client had gone, where it is too slow."""
        if self.early:
            piece = bytes(self.early[:size])
            del self.early[:size]
            return piece
        waited = self.gettimeout()
        # What does not block, or was given another bound, is no request that is read.
        if waited != WRITING:
            return super().recv(size, flags)
        self.settimeout(max(self.deadline - time.monotonic(), 0.001))
        try:
            return super().recv(size, flags)
        except TimeoutError:
            return b""
        finally:
            self.settimeout(waited)

    def sendall(self, data: Any, flags: int = 0, /) -> None:
        """Each piece within its time; who takes nothing is gone."""
        left = memoryview(data)
        while left:
            left = left[self.send(left, flags) :]

    def send(self, data: Any, flags: int = 0, /) -> int:
        """What is taken at once; BrokenPipeError where nothing is."""
        try:
            return super().send(data, flags)
        except TimeoutError as error:
            raise BrokenPipeError(errno.EPIPE, "the client takes no answer") from error


def _is_whole(content: bytearray) -> bool:
    """Whether a request is here with its body, or nothing is to be waited for."""
    end = content.find(b"\r\n\r\n")
    if end < 0:
        return False
    head = content[: end + 2]
    if _NOT_AWAITED.search(head):
        return True
    length = _LENGTH.search(head)
    whole = end + 4 + (int(length[1]) if length else 0)
    # What is too long to keep may be too long at all, which a thread can say now.
    return len(content) >= whole or whole > MOST_KEPT
