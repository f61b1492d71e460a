"""Counts on a file system without room: no signal, nothing lost that can be kept, and it is said."""

import json
import os
import subprocess
import sys

import pytest
from prometheus_client.mmap_dict import MmapedDict, mmap_key

from service.web.telemetry import counts_file
from service.web.telemetry.counts_file import PAUSE, SIZE, CountsFile, write_counts
from tests.support.places import ROOT

KEY = mmap_key("requests", "requests_total", ["operation"], ["create_évaluation"], "Requests.")


def read(path):
    return {key: value for key, value, *_ in MmapedDict.read_all_values_from_file(str(path))}


@pytest.fixture
def full(monkeypatch):
    """A file system that has no page left while the list holds something."""
    is_full = [True]
    allocate = os.posix_fallocate

    def no_room(descriptor, start, length):
        if is_full:
            raise OSError(28, "No space left on device")
        allocate(descriptor, start, length)

    monkeypatch.setattr(counts_file.os, "posix_fallocate", no_room)
    return is_full


def test_a_file_has_all_its_pages(tmp_path):
    CountsFile(str(tmp_path / "counter_1.db"))
    status = (tmp_path / "counter_1.db").stat()
    assert (status.st_size, status.st_blocks * 512) == (SIZE, SIZE)


def test_what_is_written_is_read_by_the_library(tmp_path):
    path = tmp_path / "counter_1.db"
    counts = CountsFile(str(path))
    counts.write_value(KEY, 3.0, 0.0)
    assert counts.read_value(KEY) == (3.0, 0.0) and read(path) == {KEY: 3.0}
    counts.close()
    assert read(path) == {KEY: 3.0}


@pytest.mark.parametrize("length", range(1, 12))
def test_a_file_written_without_a_mapping_reads_the_same(tmp_path, length):
    mine, library = tmp_path / "mine.db", tmp_path / "library.db"
    keys = {json.dumps(["é" * length, "b", {}, ""]): 1.5, KEY: 2.0}
    write_counts(mine, keys)
    written = MmapedDict(str(library))
    for key, value in keys.items():
        written.write_value(key, value, 0.0)
    written.close()
    assert read(mine) == read(library) == keys
    used = mine.stat().st_size
    assert mine.read_bytes() == library.read_bytes()[:used]


def test_it_grows_and_keeps_all(tmp_path):
    path = tmp_path / "counter_1.db"
    counts = CountsFile(str(path))
    keys = {f"{number}{'k' * 200}": float(number) for number in range(1000)}
    for key, value in keys.items():
        counts.write_value(key, value, 0.0)
    assert read(path) == keys
    assert path.stat().st_blocks * 512 == path.stat().st_size > SIZE


def test_without_room_it_counts_in_memory_and_says_so(tmp_path, full, caplog):
    path = tmp_path / "counter_1.db"
    counts = CountsFile(str(path))
    for number in range(10):
        counts.write_value(KEY, float(number), 0.0)
    assert counts.read_value(KEY) == (9.0, 0.0) and read_or_nothing(path) == {}
    assert [record.message.partition(": ")[2][:18] for record in caplog.records] == ["no room for counts"]
    counts.close()


def read_or_nothing(path):
    return read(path) if path.stat().st_size else {}


def test_once_there_is_room_nothing_is_lost(tmp_path, full, caplog):
    path = tmp_path / "counter_1.db"
    counts = CountsFile(str(path))
    for number in range(PAUSE - 1):
        counts.write_value(KEY, float(number), 0.0)
    full.clear()
    counts.write_value(KEY, 1000.0, 0.0)
    assert read(path) == {KEY: 1000.0} and "none of this process is lost" in caplog.text


def test_what_is_written_once_is_moved_with_the_others(tmp_path, full):
    once, often = (CountsFile(str(tmp_path / f"{kind}_1.db")) for kind in ("gauge_livesum", "counter"))
    once.write_value(KEY, 1.0, 0.0)
    full.clear()
    for number in range(PAUSE):
        often.write_value(KEY, float(number), 0.0)
    assert read(tmp_path / "gauge_livesum_1.db") == {KEY: 1.0}


def test_growing_without_room_keeps_counting(tmp_path, full):
    full.clear()
    counts = CountsFile(str(tmp_path / "counter_1.db"))
    full.append(True)
    keys = {f"{number}{'k' * 200}": float(number) for number in range(1000)}
    for key, value in keys.items():
        counts.write_value(key, value, 0.0)
    assert all(counts.read_value(key) == (value, 0.0) for key, value in keys.items())


def test_a_folder_that_is_gone_costs_counts_only(tmp_path):
    counts = CountsFile(str(tmp_path / "none" / "counter_1.db"))
    counts.write_value(KEY, 1.0, 0.0)
    assert counts.read_value(KEY) == (1.0, 0.0)


# A worker counts, its pages are filled by somebody else, it ends; another folds what it counted.
FULL = """
import os, subprocess, sys
from pathlib import Path
folder = Path(os.environ["PROMETHEUS_MULTIPROC_DIR"])
worker = (
    "from service.web.telemetry import metrics; metrics.REQUESTS.labels('a', '200', '').inc(5);"
    "import os; print(os.getpid())"
)
first = int(subprocess.run([sys.executable, "-c", worker], capture_output=True, check=True).stdout)
with open(folder / "fill", "wb", buffering=0) as fill:
    try:
        while fill.write(bytes(4096)):
            pass
    except OSError:
        print("full")
second = subprocess.run([sys.executable, "-c", worker], capture_output=True, text=True)
print("second", second.returncode, "no room for counts" in second.stderr)
from service.web.telemetry.dead_workers import fold
from service.web.telemetry import metrics
def requests():
    lines = metrics.page().decode().splitlines()
    return [line for line in lines if line.startswith("engine_build_rules_requests_total")]
try:
    fold(str(folder), first)
except OSError as error:
    print("not folded", error.strerror)
print(requests())
(folder / "fill").unlink()
fold(str(folder), int(second.stdout))
print(requests())
print(sorted(path.name for path in folder.iterdir()))
"""


@pytest.mark.slow
def test_on_a_full_memory_file_system(tmp_path):
    """A real one of 512 KiB, in a mount space of its own, which only root may have."""
    folder = tmp_path / "memory"
    folder.mkdir()
    mounted = f'mount -t tmpfs -o size=512k tmpfs {folder} && exec {sys.executable} -c "$CODE"'
    if subprocess.run(["unshare", "-m", "true"], capture_output=True).returncode:
        pytest.skip("nothing may be mounted here")
    done = subprocess.run(
        ["unshare", "-m", "bash", "-c", mounted],
        cwd=ROOT,
        env=os.environ | {"CODE": FULL, "PROMETHEUS_MULTIPROC_DIR": str(folder)},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    counted = '[\'engine_build_rules_requests_total{caller="",operation="a",status="200"} 5.0\']'
    said = done.stdout.splitlines()
    assert said[:2] == ["full", "second 0 True"]
    assert said[2].startswith("not folded") and said[3] == said[4] == counted
    assert "counter_dead.db" in said[5]
