"""Counts of one process in a file that cannot end it.

A mapping of a file with holes ends its process (SIGBUS) when the file system has no page left for one. So a
file is allocated whole before it is mapped, and where there is no room for it the counts stay in memory
until there is.
"""

import logging
import mmap
import os
import struct
from pathlib import Path
from typing import Any

from prometheus_client import mmap_dict, values

# A key and its count take some 200 bytes; all of ours fit twice.
SIZE = 1 << 16
# In memory, room is looked for again after so many counts.
PAUSE = 500
# What an entry has around its key.
AROUND = 32
# Where the first entry begins; before it stands where the last one ends.
BEGINNING = 8

log = logging.getLogger(__name__)


class CountsFile(mmap_dict.MmapedDict):
    """The library's own, over allocated pages or, without room for them, over memory."""

    def __init__(self, filename: str, read_mode: bool = False):
        self._fname = filename
        self._positions: dict[str, int] = {}
        self._is_mapped = False
        self._m: Any = bytearray(SIZE)
        self._capacity, self._used, self._waited = SIZE, BEGINNING, 0
        self._m[:4] = struct.pack("i", BEGINNING)
        self._take_room()

    def _init_value(self, key: str) -> None:
        if self._used + len(key.encode()) + AROUND > self._capacity:
            self._grow()
        super()._init_value(key)  # type: ignore[no-untyped-call]  # the library has no types

    def write_value(self, key: str, value: float, timestamp: float) -> None:
        """Set one count."""
        super().write_value(key, value, timestamp)  # type: ignore[no-untyped-call]  # as above
        if not self._is_mapped:
            self._waited += 1
            if self._waited % PAUSE == 0:
                _look_for_room()

    def close(self) -> None:
        """Let go of the file; the counts stay in it."""
        if self._is_mapped:
            self._m.close()
        self._m, self._is_mapped = None, False
        if self in _in_memory:
            _in_memory.remove(self)

    def _grow(self) -> None:
        """Twice the room: in memory first, and in the file where it can be allocated."""
        content = bytearray(2 * self._capacity)
        content[: self._used] = self._m[: self._used]
        self.close()
        self._m, self._capacity = content, len(content)
        self._take_room()

    def _take_room(self) -> None:
        if not self.move_to_file():
            _in_memory.append(self)
            log.warning(
                "%s: no room for counts, so the page lacks those of this process until there is", self._fname
            )

    def move_to_file(self) -> bool:
        """Allocate the file whole, map it, and write there what there is; False where there is no room."""
        try:
            # The folder is the service's own; there is one process of this number.
            descriptor = os.open(self._fname, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o644)
        except OSError:
            return False
        try:
            os.posix_fallocate(descriptor, 0, self._capacity)
            mapped = mmap.mmap(descriptor, self._capacity)
        except OSError:
            return False
        finally:
            # The mapping has a descriptor of its own.
            os.close(descriptor)
        mapped[: self._used] = bytes(self._m[: self._used])
        self._m, self._is_mapped = mapped, True
        return True


# The files of this process that found no room; the library holds a lock while it writes.
_in_memory: list[CountsFile] = []


def _look_for_room() -> None:
    """For all of them: some are written once and never again."""
    found = [file for file in _in_memory if file.move_to_file()]
    for file in found:
        _in_memory.remove(file)
    if found:
        log.warning("there is room for counts again, and none of this process is lost")


def write_counts(path: Path, counts: dict[str, float]) -> None:
    """A file of counts without a mapping: OSError where there is no room."""
    entries = b"".join(_entry(key.encode(), value) for key, value in counts.items())
    path.write_bytes(struct.pack("i4x", BEGINNING + len(entries)) + entries)


def _entry(key: bytes, value: float) -> bytes:
    padded = key + b" " * (8 - (len(key) + 4) % 8)
    return struct.pack(f"i{len(padded)}sdd", len(key), padded, value, 0.0)


def use_counts_files() -> None:
    """From now on the library keeps its counts this way; called before the first of them is made."""
    # The one name by which the library makes a file.
    vars(values)["MmapedDict"] = CountsFile
