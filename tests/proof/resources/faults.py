"""The resources, each made to fail and to come back."""

import http.client
import json
import os
import resource
import signal
import socket
import subprocess
import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import psutil

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.proof.resources.fault import PATIENCE, Fault
from tests.support.places import ROOT
from tests.support.server import Server

INJECTED = Path(__file__).parent / "injected"
DESCRIPTORS, IDLE = 64, 200
MEMORY_DISK = "8m"
PIDS = Path("/sys/fs/cgroup/pids")


def _namespace(*commands: str):
    """Becomes the service in a mount space of its own, where these were done."""
    done = " && ".join([*commands, 'exec "$@"'])
    return lambda folder: ("unshare", "-m", "sh", "-c", done, "sh")


@contextmanager
def _idle_connections(server: Server, folder: Path) -> Iterator[None]:
    with ExitStack() as stack:
        for _ in range(IDLE):
            held = stack.enter_context(socket.socket())
            held.setblocking(False)
            held.connect_ex(("127.0.0.1", server.port))
        yield


def _inside(server: Server, path: str) -> Path:
    """A path as the service sees it."""
    return Path(f"/proc/{server.masters()[0].pid}/root{path}")


@contextmanager
def _memory_disk_full(server: Server, folder: Path) -> Iterator[None]:
    fill = _inside(server, "/dev/shm/fill")
    with fill.open("wb", buffering=0) as content:
        try:
            while content.write(bytes(4096)):
                pass
        except OSError:
            # That is the state wanted.
            os.sync()
    server.workers()[0].kill()
    # The one that follows finds no room for its counts.
    server.seconds_until_all_answer(0.0)
    try:
        yield
    finally:
        fill.unlink()


SWEEP = {
    "build": EIGHTEEN_FIELDS,
    "columns": {"induction.boost": [f"{20 + number / 100:.2f} kPa" for number in range(10_000)]},
}


def answer_of(server: Server, sweep: dict) -> int:
    """The status of a sweep."""
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=PATIENCE)
    connection.request("POST", "/v1/sweeps", json.dumps(sweep), {"Content-Type": "application/json"})
    status = connection.getresponse().status
    connection.close()
    return status


@contextmanager
def _little_memory(server: Server, folder: Path) -> Iterator[None]:
    """No worker gets more address space than it has; what it can do with that is left to chance."""
    workers = server.workers()
    for worker in workers:
        worker.rlimit(psutil.RLIMIT_AS, (worker.memory_info().vms, resource.RLIM_INFINITY))
    try:
        # What needs little is answered; what needs much is asked to come again.
        statuses = [answer_of(server, SWEEP) for _ in range(4)]
        assert set(statuses) <= {200, 503}, statuses
        yield
    finally:
        for worker in workers:
            if worker.is_running():
                worker.rlimit(psutil.RLIMIT_AS, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))


@contextmanager
def _no_process(server: Server, folder: Path) -> Iterator[None]:
    """The kernel makes no process for the service; a worker that is killed cannot be replaced."""
    most = PIDS / folder.name / "pids.max"
    most.write_text("1")
    server.workers()[0].kill()
    try:
        yield
    finally:
        most.write_text("max")


def _in_group_of_its_own(folder: Path) -> tuple[str, ...]:
    group = PIDS / folder.name
    group.mkdir()
    return ("sh", "-c", f'echo $$ > {group}/cgroup.procs && exec "$@"', "sh")


@contextmanager
def _read_only(server: Server, folder: Path) -> Iterator[None]:
    pid = str(server.masters()[0].pid)
    remount = ["nsenter", "-t", pid, "-m", "mount", "-o"]
    subprocess.run([*remount, "remount,ro,bind", ROOT], check=True)
    server.workers()[0].kill()
    try:
        yield
    finally:
        subprocess.run([*remount, "remount,rw,bind", ROOT], check=True)


def _injected(name: str, content: str = ""):
    @contextmanager
    def failing(server: Server, folder: Path) -> Iterator[None]:
        flag = folder / "faults" / name
        flag.write_text(content)
        server.workers()[0].kill()
        try:
            yield
        finally:
            flag.unlink()

    return failing


def _with_injection(folder: Path) -> dict[str, str]:
    (folder / "faults").mkdir()
    return {"PYTHONPATH": os.pathsep.join([str(INJECTED), str(ROOT)]), "FAULTS": str(folder / "faults")}


@contextmanager
def _worker_killed(server: Server, folder: Path) -> Iterator[None]:
    server.workers()[0].kill()
    yield


@contextmanager
def _stopped(process: psutil.Process) -> Iterator[None]:
    process.suspend()
    try:
        yield
    finally:
        if process.is_running():
            process.resume()


@contextmanager
def _worker_slow(server: Server, folder: Path) -> Iterator[None]:
    """A tenth of the time is left to it."""
    worker, over = server.workers()[0], threading.Event()

    def hold() -> None:
        while not over.is_set():
            worker.suspend()
            over.wait(0.09)
            worker.resume()
            over.wait(0.01)

    holding = threading.Thread(target=hold)
    holding.start()
    try:
        yield
    finally:
        over.set()
        holding.join()
        worker.send_signal(signal.SIGCONT)


def _limited(folder: Path) -> tuple[str, ...]:
    return ("prlimit", f"--nofile={DESCRIPTORS}")


FAULTS = (
    Fault("descriptors", _idle_connections, within=_limited),
    Fault(
        "accept queue",
        _idle_connections,
        within=_limited,
        settings=lambda folder: {"GUNICORN_CMD_ARGS": "--backlog 8"},
    ),
    Fault(
        "memory file system",
        _memory_disk_full,
        within=_namespace(f"mount -t tmpfs -o size={MEMORY_DISK} tmpfs /dev/shm"),
        cuts=True,
        loses_counts=True,
        says="no room for counts",
    ),
    Fault("address space", _little_memory, sheds=True),
    Fault(
        "processes",
        _no_process,
        within=_in_group_of_its_own,
        cuts=True,
        says="no worker can be started",
        tidy=lambda folder: (PIDS / folder.name).rmdir(),
    ),
    Fault(
        "disk that may be written",
        _read_only,
        within=_namespace(f"mount --bind {ROOT} {ROOT}"),
        cuts=True,
    ),
    Fault("disk of the log", _worker_killed, output="/dev/full", cuts=True),
    Fault(
        "rename",
        _injected("rename"),
        settings=_with_injection,
        cuts=True,
        says="stay in files of their own",
    ),
    Fault("clock, a day back", _injected("clock", "-86400"), settings=_with_injection, cuts=True),
    Fault("clock, a day forward", _injected("clock", "86400"), settings=_with_injection, cuts=True),
    Fault("a worker, killed", _worker_killed, cuts=True),
    Fault("a worker, stopped", lambda server, folder: _stopped(server.workers()[0])),
    Fault("a worker, slow", _worker_slow),
    Fault("the master, stopped", lambda server, folder: _stopped(server.masters()[0])),
)


def missing(fault: Fault) -> str | None:
    """Why a fault cannot be made here."""
    if fault.name in ("memory file system", "disk that may be written") and os.system(
        "unshare -m true 2>/dev/null"
    ):
        return "nothing may be mounted here"
    if fault.name == "processes" and not os.access(PIDS, os.W_OK):
        return "no group of processes may be made here"
    return None
