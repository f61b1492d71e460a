"""Counters of workers that are gone, in one file of each kind instead of one for every worker there ever was.

Workers are replaced now and then; without this the folder of metrics, which is memory, would grow for as long
as the service runs. Nothing here maps a file: the master folds, and a mapping could end it.
"""

import fcntl
import os
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from prometheus_client.mmap_dict import MmapedDict
from prometheus_client.multiprocess import mark_process_dead

from service.web.telemetry.counts_file import write_counts

SUMMED = ("counter", "histogram")
# Workers of this master that are gone and not yet added.
_waiting: list[int] = []


@contextmanager
def counted(folder: str) -> Iterator[list[str]]:
    """The files that hold counts; no worker is folded meanwhile, so none is counted twice or not at all."""
    with _locked(folder, fcntl.LOCK_SH):
        # A worker that is just starting makes its file before it fills it.
        yield [str(path) for path in Path(folder).glob("*.db") if path.stat().st_size]


def fold(folder: str, pid: int) -> None:
    """Add what a dead worker counted to what all dead workers counted, and delete its files.

    OSError where there is no room: the files stay, and count as they are until the next worker is folded.
    """
    _waiting.append(pid)
    with _locked(folder, fcntl.LOCK_EX):
        while _waiting:
            dead = _waiting.pop()
            try:
                _fold_one(folder, dead)
            except OSError:
                _waiting.append(dead)
                raise


def _fold_one(folder: str, pid: int) -> None:
    mark_process_dead(pid, folder)
    for kind in SUMMED:
        counts, all_dead = Path(folder, f"{kind}_{pid}.db"), Path(folder, f"{kind}_dead.db")
        if counts.exists():
            _add(counts, all_dead)
            counts.unlink()


def _add(counts: Path, all_dead: Path) -> None:
    sums: dict[str, float] = defaultdict(float)
    for path in (all_dead, counts):
        # A worker that ended as it began may leave an empty file.
        if path.exists() and path.stat().st_size:
            for key, value, *_ in MmapedDict.read_all_values_from_file(str(path)):
                sums[key] += value
    new = all_dead.with_suffix(".new")
    try:
        write_counts(new, sums)
    except OSError:
        new.unlink(missing_ok=True)
        raise
    os.replace(new, all_dead)


@contextmanager
def _locked(folder: str, how: int) -> Iterator[None]:
    with open(Path(folder, "lock"), "a") as lock:
        fcntl.flock(lock, how)
        yield
