"""What a start and a check of the rules cost beside the start of a bare echo, and what a worker weighs."""

import resource
import statistics
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.proof.load import evaluation, run_for
from tests.support.expected import app_with, questions
from tests.support.places import ROOT
from tests.support.server import Server, clean_environment

MIB = 1024 * 1024
ANSWER = """
from {module} import {app}
reply = {app}{call}.test_client().post("{path}", json={{"build": {{"engine": {{"displacement": "5.0 L"}}}}}})
assert reply.status_code == 200, reply.text
"""
ECHO = ANSWER.format(module="tests.benchmarks.wsgi", app="echo_app", call="()", path="/echo")
SERVICE = ANSWER.format(module="service.wsgi", app="app", call="", path="/v1/evaluations")


def report(build: dict, rounds: int) -> None:
    """Print CPU time from the start to the first answer, of the check, and the memory of the workers."""
    check = ["-m", "service", "check"]
    cpu_seconds(check)
    figures = [
        (cpu_seconds(["-c", SERVICE]), cpu_seconds(check), cpu_seconds(["-c", ECHO])) for _ in range(rounds)
    ]
    starts, checks, echoes = (list(column) for column in zip(*figures, strict=True))
    for title, values in (
        ("start to the first answer, rules checked before", starts),
        ("service check", checks),
    ):
        ratios = [ours / theirs for ours, theirs in zip(values, echoes, strict=True)]
        print(
            f"{title}: {statistics.median(values):.2f} s, the echo {statistics.median(echoes):.2f} s, "
            f"ratio {statistics.median(ratios):.1f} [{min(ratios):.1f}..{max(ratios):.1f}]"
        )
    _memory(build)


def cpu_seconds(arguments: list[str]) -> float:
    """CPU time of a fresh Python with these arguments."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, *arguments],
        cwd=ROOT,
        env=clean_environment(),
        stdout=subprocess.DEVNULL,
        check=True,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def _memory(build: dict) -> None:
    asked = questions([evaluation(build)], app_with())
    with TemporaryDirectory() as folder, Server(Path(folder)) as server:
        run_for(2.0, server.port, asked)
        for worker in server.workers():
            memory = worker.memory_full_info()
            print(
                f"a worker that answers: resident {memory.rss / MIB:.0f} MB, not shared with the master "
                f"{memory.uss / MIB:.0f} MB"
            )
