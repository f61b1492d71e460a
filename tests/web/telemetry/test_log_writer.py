"""Lines are whole, in order, and never waited for: a full disk and a reader that stalls cost lines, and the
log says how many.
"""

import os
import threading

import orjson
import pytest

from service.web.telemetry import log_writer
from service.web.telemetry.log_writer import LogWriter
from service.web.telemetry.metrics import LINES_LOST

pytestmark = pytest.mark.slow


@pytest.fixture
def pipe():
    """(read end, write end); the write end is closed by whoever reads to the end."""
    ends = os.pipe()
    yield ends
    for end in ends:
        try:
            os.close(end)
        except OSError:
            continue


def everything(pipe):
    os.close(pipe[1])
    with os.fdopen(os.dup(pipe[0]), "rb") as read:
        return read.read()


def test_lines_are_whole_and_in_order(pipe):
    writer = LogWriter(pipe[1])
    for number in range(200):
        writer.write({"number": number, "text": "line\nbreak"})
    writer.close()
    assert [orjson.loads(line)["number"] for line in everything(pipe).splitlines()] == list(range(200))


def test_many_threads_lose_nothing(pipe):
    writer = LogWriter(pipe[1])
    threads = [
        threading.Thread(
            target=lambda own=own: [writer.write({"own": own, "number": number}) for number in range(50)]
        )
        for own in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    writer.close()
    lines = [orjson.loads(line) for line in everything(pipe).splitlines()]
    assert len(lines) == 400
    assert all(
        [line["number"] for line in lines if line["own"] == own] == list(range(50)) for own in range(8)
    )


def test_a_full_disk_is_survived_and_counted():
    before = LINES_LOST._value.get()
    with open("/dev/full", "wb", buffering=0) as full:
        writer = LogWriter(full.fileno())
        for number in range(10):
            writer.write({"number": number})
        writer.close()
    assert LINES_LOST._value.get() == before + 10


# Two such lines do not go into a pipe in one piece, so each is written by itself.
LONG = "x" * 3000


def failing(monkeypatch, outcomes):
    """os.write with these outcomes for its first calls: a count of bytes that are taken, or None for a disk
    that is full.
    """
    write, left = os.write, list(outcomes)

    def short(descriptor, content):
        taken = left.pop(0) if left else len(content)
        if taken is None:
            raise OSError(28, "No space left on device")
        return write(descriptor, content[:taken])

    monkeypatch.setattr(os, "write", short)


def test_the_next_line_says_how_many_were_lost(pipe, monkeypatch):
    writer = LogWriter(pipe[1])
    failing(monkeypatch, [None, None])
    for number in range(4):
        writer.write({"number": number, "text": LONG})
    writer.close()
    lines = [orjson.loads(line) for line in everything(pipe).splitlines()]
    assert [(line["number"], line.get("lines_lost")) for line in lines] == [(2, 2), (3, None)]


def test_a_line_cut_short_stands_alone(pipe, monkeypatch):
    writer = LogWriter(pipe[1])
    failing(monkeypatch, [5, None, None])
    for number in range(3):
        writer.write({"number": number, "text": LONG})
    writer.close()
    cut, whole = everything(pipe).splitlines()
    assert cut == b'{"num' and (orjson.loads(whole)["number"], orjson.loads(whole)["lines_lost"]) == (2, 2)


def test_of_a_block_cut_short_the_whole_lines_count_as_written(pipe, monkeypatch):
    # One block, however slow the machine; close() ends the pause.
    monkeypatch.setattr(log_writer, "PAUSE", 60)
    writer = LogWriter(pipe[1])
    before = LINES_LOST._value.get()
    failing(monkeypatch, [len(b'{"number":0}\n{"number":1}\n{"nu'), None])
    for number in range(4):
        writer.write({"number": number})
    writer.close()
    assert everything(pipe) == b'{"number":0}\n{"number":1}\n{"nu' and LINES_LOST._value.get() == before + 2


def test_short_writes_are_gone_on_with(pipe, monkeypatch):
    writer = LogWriter(pipe[1])
    failing(monkeypatch, [1, 2, 3, 4])
    writer.write({"text": LONG})
    writer.close()
    assert [orjson.loads(line) for line in everything(pipe).splitlines()] == [{"text": LONG}]


def test_short_lines_of_several_workers_do_not_mix(pipe, monkeypatch):
    # POSIX.1-2017, write(): up to PIPE_BUF bytes go into a pipe in one piece.
    monkeypatch.setattr(log_writer, "PAUSE", 60)
    sizes, write = [], os.write
    monkeypatch.setattr(
        os, "write", lambda descriptor, content: sizes.append(len(content)) or write(descriptor, content)
    )
    writer = LogWriter(pipe[1])
    for number in range(40):
        writer.write({"number": number, "text": "x" * 700})
    writer.close()
    assert max(sizes) <= 4096 and len(sizes) <= 10


def test_a_reader_that_stalls_holds_up_nobody(pipe):
    writer = LogWriter(pipe[1])
    before = LINES_LOST._value.get()
    # A pipe holds 64 KB; the thread then waits in it, and what may wait is soon there.
    line = {"text": "x" * 1000}
    sent = log_writer.WAITING // (len(orjson.dumps(line)) + 1) + 500
    for _ in range(sent):
        writer.write(line)
    lost = LINES_LOST._value.get() - before
    assert 500 - 70 <= lost <= 501
    # Once somebody reads again, what waited is there.
    read = []
    reader = threading.Thread(
        target=lambda: [read.append(chunk) for chunk in iter(lambda: os.read(pipe[0], 1 << 16), b"")]
    )
    reader.start()
    writer.close()
    os.close(pipe[1])
    reader.join()
    assert b"".join(read).count(b"\n") == sent - lost


def test_long_lines_wait_in_no_more_memory_than_short_ones(pipe):
    writer = LogWriter(pipe[1])
    before = LINES_LOST._value.get()
    # A spec of a megabyte, as LOG_SPECS=1 logs it, while nobody reads.
    for _ in range(20):
        writer.write({"text": "x" * 1024 * 1024})
    assert LINES_LOST._value.get() - before >= 20 - log_writer.WAITING // (1024 * 1024) - 1
    assert sum(map(len, writer._lines)) <= log_writer.WAITING
    # The thread waits in the pipe until nobody can read any more.
    os.close(pipe[0])
    writer.close()


def test_what_json_cannot_hold_does_not_end_the_log(pipe):
    writer = LogWriter(pipe[1])
    with pytest.raises(TypeError):
        writer.write({"number": 10**30})
    writer.write({"number": 1})
    writer.close()
    assert everything(pipe) == b'{"number":1}\n'


def test_where_there_are_no_locks_lines_are_written_all_the_same(pipe, monkeypatch):
    def none(*_):
        raise OSError(37, "No locks available")

    monkeypatch.setattr(log_writer.fcntl, "lockf", none)
    writer = LogWriter(pipe[1])
    writer.write({"number": 1})
    writer.close()
    assert everything(pipe) == b'{"number":1}\n'


def test_long_lines_of_several_workers_do_not_mix(pipe):
    children = []
    for letter in "abc":
        child = os.fork()
        if child == 0:
            try:
                writer = LogWriter(pipe[1])
                for _ in range(10):
                    writer.write({"text": letter * 50_000})
                    writer.write({"text": letter})
                writer.close()
                os._exit(0)
            finally:
                # Never back into pytest.
                os._exit(1)
        children.append(child)
    read = everything(pipe)
    assert [os.waitpid(child, 0)[1] for child in children] == [0, 0, 0]
    lines = [orjson.loads(line)["text"] for line in read.splitlines()]
    assert sorted((line[0], len(line)) for line in lines) == sorted(
        (letter, length) for letter in "abc" for length in (1, 50_000) for _ in range(10)
    )
    assert all(set(line) == {line[0]} for line in lines)


def test_a_fork_writes_its_own_lines(pipe):
    writer = LogWriter(pipe[1])
    writer.write({"process": "parent"})
    child = os.fork()
    if child == 0:
        try:
            writer.write({"process": "child"})
            writer.close()
            os._exit(0)
        finally:
            os._exit(1)
    assert os.waitpid(child, 0)[1] == 0
    writer.close()
    assert sorted(orjson.loads(line)["process"] for line in everything(pipe).splitlines()) == [
        "child",
        "parent",
    ]


def test_without_a_thread_lines_are_lost_and_answers_are_not(pipe, monkeypatch):
    """A thread cannot be made where memory or processes have run out."""
    start = threading.Thread.start

    def refused(thread):
        raise RuntimeError("can't start new thread")

    writer = LogWriter(pipe[1])
    monkeypatch.setattr(threading.Thread, "start", refused)
    writer.write({"line": 1})
    writer.write({"line": 2})
    monkeypatch.setattr(threading.Thread, "start", start)
    writer.write({"line": 3})
    writer.close()
    assert [orjson.loads(line) for line in everything(pipe).splitlines()] == [{"line": 3, "lines_lost": 2}]
