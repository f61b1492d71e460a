"""Requests a second through gunicorn on loopback, bounded in count and time; the load shares the two cores."""

import http.client
import os
import socket
import statistics
import subprocess
import sys
import threading
import time
from pathlib import Path

import orjson

ROOT = Path(__file__).resolve().parents[2]
CONNECTIONS = 8
SECONDS = 3.0


def report(build: dict, rounds: int = 3) -> None:
    """Print rate and latency of evaluations and of the echo, two workers each."""
    body = orjson.dumps({"build": build})
    for title, target, path in (("evaluation", "service.wsgi:app", "/v1/evaluations"), ("echo", "tests.benchmarks.wsgi:echo_app()", "/echo")):
        port = _free_port()
        server = subprocess.Popen([sys.executable, "-m", "gunicorn", "--config", str(ROOT / "docker/gunicorn.conf.py"), target], cwd=ROOT, env=os.environ | {"PORT": str(port), "WORKERS": "2"}, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            _wait(port)
            results = [_load(port, path, body) for _ in range(rounds)]
        finally:
            server.terminate()
            server.wait(timeout=30)
        rates = [len(times) / SECONDS for times in results]
        p99 = [sorted(times)[int(0.99 * len(times))] * 1e3 for times in results]
        print(f"gunicorn, 2 workers, {CONNECTIONS} connections, {title}: {statistics.median(rates):.0f} [{min(rates):.0f}..{max(rates):.0f}] req/s, p99 {statistics.median(p99):.1f} [{min(p99):.1f}..{max(p99):.1f}] ms")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def _wait(port: int, patience: float = 30.0) -> None:
    deadline = time.monotonic() + patience
    while time.monotonic() < deadline:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
            return
        except OSError:
            time.sleep(0.05)
    raise RuntimeError("gunicorn did not come up")


def _load(port: int, path: str, body: bytes) -> list[float]:
    times: list[list[float]] = [[] for _ in range(CONNECTIONS)]
    stop = time.monotonic() + SECONDS

    def client(own: list[float]) -> None:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
        while time.monotonic() < stop:
            start = time.perf_counter()
            connection.request("POST", path, body, {"Content-Type": "application/json"})
            reply = connection.getresponse()
            reply.read()
            if reply.status != 200:
                raise RuntimeError(f"status {reply.status}")
            own.append(time.perf_counter() - start)

    threads = [threading.Thread(target=client, args=(own,)) for own in times]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return [one for own in times for one in own]
