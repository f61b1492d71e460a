"""The service behind gunicorn with the settings it ships with, on a free loopback port: started, looked at,
rolled, stopped.
"""

import http.client
import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import psutil

from tests.support.places import ROOT

PATIENCE = 60.0
# What a developer's shell may have set must not change what is measured.
SETTINGS = (
    "HOST",
    "PORT",
    "WORKERS",
    "RULES",
    "CATALOG",
    "EVALUATOR",
    "TOKENS",
    "ALLOW_ANONYMOUS",
    "CORS_ORIGINS",
    "LOG_SPECS",
    "PROMETHEUS_MULTIPROC_DIR",
    "PIDFILE",
    "WATCH_PORT",
    "GUNICORN_CMD_ARGS",
)


def free_port() -> int:
    """A loopback port nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def clean_environment(**settings: str) -> dict[str, str]:
    """The environment with these settings of the service and no others."""
    return {name: value for name, value in os.environ.items() if name not in SETTINGS} | settings


class Server:
    """A context manager; `folder` takes its pid file and its log; `within`: a command that becomes the
    service, with less of something.
    """

    def __init__(
        self,
        folder: Path,
        target: str = "service.wsgi:app",
        ready: tuple[str, int] = ("/readyz", 200),
        workers: int = 2,
        stdout=None,
        stderr=None,
        within: tuple[str, ...] = (),
        **settings: str,
    ):
        self.port, self.workers_wanted, self._ready, self._out, self._error = (
            free_port(),
            workers,
            ready,
            stdout,
            stderr,
        )
        self.pidfile, self.log_path = (
            folder / f"gunicorn-{self.port}.pid",
            folder / f"gunicorn-{self.port}.log",
        )
        self.environment = clean_environment(
            PORT=str(self.port), WORKERS=str(workers), PIDFILE=str(self.pidfile), **settings
        )
        # Not `python -m gunicorn`: after USR2 that starts in the folder of gunicorn itself, whose `http` then
        # hides the one of Python.
        self._command = [
            *within,
            str(Path(sys.executable).with_name("gunicorn")),
            "--config",
            "docker/gunicorn.conf.py",
            target,
        ]

    def __enter__(self) -> "Server":
        with self.log_path.open("ab") as log:
            self._process = subprocess.Popen(
                self._command,
                cwd=ROOT,
                env=self.environment,
                stdout=self._out or log,
                stderr=self._error or log,
            )
        deadline = time.monotonic() + PATIENCE
        while self._process.poll() is None and time.monotonic() < deadline:
            if len(self.workers()) == self.workers_wanted and self.status(self._ready[0]) == self._ready[1]:
                return self
            time.sleep(0.05)
        self._process.kill()
        self._process.wait()
        raise RuntimeError(f"gunicorn did not come up:\n{self.log}")

    def __exit__(self, *_) -> None:
        for master in self.masters():
            master.send_signal(signal.SIGTERM)
        if self._process.poll() is None:
            self._process.terminate()
        try:
            self._process.wait(PATIENCE)
            _until(lambda: not self.masters(), "a rolled master did not stop")
        finally:
            for one in [
                each for master in self.masters() for each in (master, *master.children(recursive=True))
            ]:
                one.kill()
            if self._process.poll() is None:
                self._process.kill()
                self._process.wait()

    @property
    def log(self) -> str:
        """What gunicorn and the service wrote, unless their output goes elsewhere."""
        return self.log_path.read_text(errors="replace")

    def status(self, path: str) -> int | None:
        """Status of a GET on a connection of its own; None when there was no answer."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=5)
        try:
            connection.request("GET", path)
            return connection.getresponse().status
        except (OSError, http.client.HTTPException):
            return None
        finally:
            connection.close()

    def masters(self) -> list[psutil.Process]:
        """The masters alive, found by their pid files: one, or two in the middle of a roll."""
        found = []
        for path in (self.pidfile, self.pidfile.with_name(self.pidfile.name + ".2")):
            try:
                process = psutil.Process(int(path.read_text()))
                if process.status() != psutil.STATUS_ZOMBIE:
                    found.append(process)
            except (OSError, ValueError, psutil.NoSuchProcess):
                continue
        return found

    def workers(self) -> list[psutil.Process]:
        """The workers of the master that the pid file names."""
        masters = self.masters()
        return [one for one in masters[0].children() if not _succeeds(one, masters[0])] if masters else []

    def worker_of(self, client_port: int) -> int | None:
        """Pid of the worker that holds the other end of a client's connection."""
        for worker in self.workers():
            try:
                if any(one.raddr and one.raddr.port == client_port for one in worker.net_connections("tcp")):
                    return worker.pid
            except psutil.NoSuchProcess:
                continue
        return None

    def connections_of(self, worker: psutil.Process) -> int:
        """How many clients are connected to a worker: no more requests than that can be in flight there."""
        return sum(one.status == psutil.CONN_ESTABLISHED for one in worker.net_connections("tcp"))

    def connection_to_each(self) -> dict[int, http.client.HTTPConnection]:
        """One kept-alive connection to every worker, by the worker's pid; it has answered once."""
        held: dict[int, http.client.HTTPConnection] = {}
        spare = []
        deadline = time.monotonic() + PATIENCE
        while len(workers := {one.pid for one in self.workers()}) < self.workers_wanted or workers - set(
            held
        ):
            if time.monotonic() > deadline:
                raise RuntimeError(f"not every worker answers: {workers} against {set(held)}")
            connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
            connection.request("GET", "/healthz")
            connection.getresponse().read()
            # A worker that is on its way out answers with `Connection: close`.
            pid = self.worker_of(connection.sock.getsockname()[1]) if connection.sock else None
            if pid is None or pid in held:
                spare.append(connection)
            else:
                held[pid] = connection
        for one in spare:
            one.close()
        return {pid: connection for pid, connection in held.items() if pid in workers}

    def seconds_until_all_answer(self, since: float) -> float:
        """Seconds from a moment (time.monotonic) until every worker wanted is there and has answered."""
        for one in self.connection_to_each().values():
            one.close()
        return time.monotonic() - since

    def roll(self) -> tuple[bool, str]:
        """`python -m service roll` on this server: whether it went through, and what it said."""
        done = subprocess.run(
            [sys.executable, "-m", "service", "roll", str(self.pidfile)],
            cwd=ROOT,
            env=self.environment,
            capture_output=True,
            text=True,
            timeout=PATIENCE,
        )
        return done.returncode == 0, (done.stdout + done.stderr).strip()


def _succeeds(child: psutil.Process, master: psutil.Process) -> bool:
    """Whether a child is the next master, or already gone, and so no worker."""
    try:
        return child.status() == psutil.STATUS_ZOMBIE or child.environ().get("GUNICORN_PID") == str(
            master.pid
        )
    except psutil.NoSuchProcess:
        return True


def _until(condition, otherwise: str) -> None:
    deadline = time.monotonic() + PATIENCE
    while not condition():
        if time.monotonic() > deadline:
            raise RuntimeError(otherwise)
        time.sleep(0.02)
