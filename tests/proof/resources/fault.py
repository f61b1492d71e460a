"""One resource that fails under load, and what came of it."""

import http.client
import json
import time
from collections.abc import Callable
from contextlib import AbstractContextManager, ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

from prometheus_client.parser import text_string_to_metric_families
from prometheus_client.samples import Sample

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.proof.load import Load, Tally, evaluation
from tests.support.expected import app_with, questions
from tests.support.server import Server

CONNECTIONS, THINKS = 8, 0.01
PATIENCE = 30.0
# Lines that a killed worker had taken and not yet written: those of a twentieth of a second.
MOST_UNWRITTEN = 60


@dataclass(frozen=True)
class Fault:
    """What fails, from when it is entered until it is left. `cuts`: requests in flight on one worker may be
    cut; `sheds`: some may be asked to come again. `says`: what the log has to say of it, which shows that it
    failed at all.
    """

    name: str
    failing: Callable[[Server, Path], AbstractContextManager[None]]
    within: Callable[[Path], tuple[str, ...]] = lambda folder: ()
    settings: Callable[[Path], dict[str, str]] = lambda folder: {}
    cuts: bool = False
    loses_counts: bool = False
    says: str = ""
    sheds: bool = False
    tidy: Callable[[Path], None] = lambda folder: None
    output: str | None = None
    """Where standard output goes, where that is what fails."""


@dataclass
class Outcome:
    """What a fault cost."""

    tally: Tally
    recovery: float
    open_on_worker: int = 0
    counted: float = 0.0
    logged: int = 0
    log: str = ""
    trouble: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        tally = self.tally
        kept = f"{self.counted:.0f} of them counted, {self.logged} in the log or told of as lost"
        cut = f"{tally.repeated} cut and asked again, {tally.errors} failed"
        return (
            f"{len(tally.answers):,} answers, {cut}, worst {tally.latency(1):.0f} ms; all workers answer "
            f"{self.recovery:.2f} s after; {kept}"
        )


def suffer(fault: Fault, seconds: float) -> Outcome:
    """A third of the time calm, a third with the fault, a third after it."""
    asked = questions([evaluation(EIGHTEEN_FIELDS)], app_with())
    with ExitStack() as stack:
        folder = Path(stack.enter_context(TemporaryDirectory()))
        output = stack.enter_context(open(fault.output, "wb")) if fault.output else None
        server = Server(folder, within=fault.within(folder), stdout=output, **fault.settings(folder))
        with server:
            with Load(server.port, asked, connections=CONNECTIONS, pause=THINKS) as load:
                time.sleep(seconds / 3)
                most_open = max(server.connections_of(worker) for worker in server.workers())
                with fault.failing(server, folder):
                    time.sleep(seconds / 3)
                recovery = server.seconds_until_all_answer(time.monotonic())
                time.sleep(seconds / 3)
                tally = load.stop()
            metrics = _metrics(server)
        fault.tidy(folder)
        counted = _sum(metrics, "requests_total", operation="create_evaluation", status="200")
        logged = _logged(server.log) + int(_sum(metrics, "log_lines_lost_total") if output else 0)
        outcome = Outcome(tally, recovery, most_open, counted, logged, server.log)
    outcome.trouble = list(_troubles(fault, outcome))
    return outcome


def _troubles(fault: Fault, outcome: Outcome):
    """What is not as promised."""
    tally = outcome.tally
    cut = tally.lost + tally.repeated
    if tally.wrong or tally.refused or (tally.status and not fault.sheds):
        yield f"wrong {tally.wrong}, other status {tally.status}, refused {tally.refused}"
    if any(not sample.startswith(b"HTTP/1.1 503") for kind, sample in tally.samples if kind == "status"):
        yield f"a status that is no request to come again: {tally.samples}"
    if tally.lost and not fault.cuts:
        yield f"{tally.lost} lost"
    if fault.cuts and cut > CONNECTIONS:
        yield f"{cut} cut, where a worker held {outcome.open_on_worker} connections"
    if not tally.answers:
        yield "nothing was answered"
    # One that was cut may have been worked out, and one in flight when a worker is killed is not counted.
    if outcome.counted < len(tally.answers) and not fault.loses_counts:
        yield f"{len(tally.answers) - outcome.counted:.0f} answers not counted"
    if outcome.logged < len(tally.answers) - fault.cuts * MOST_UNWRITTEN:
        yield f"{len(tally.answers) - outcome.logged} answers not in the log"
    if "Traceback" in outcome.log:
        yield "a traceback in the log"
    if fault.says not in outcome.log:
        yield f"it did not fail: the log does not say {fault.says!r}"


def _metrics(server: Server) -> list[Sample]:
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=PATIENCE)
    connection.request("GET", "/metrics")
    page = connection.getresponse().read().decode()
    connection.close()
    return [sample for family in text_string_to_metric_families(page) for sample in family.samples]


def _sum(samples: list[Sample], name: str, **labels: str) -> float:
    """Of the samples with these labels, whatever others they have."""
    return sum(
        sample.value
        for sample in samples
        if sample.name == f"engine_build_rules_{name}" and labels.items() <= sample.labels.items()
    )


def _logged(log: str) -> int:
    """Lines of evaluations, and those that are told of as lost."""
    found = 0
    for line in log.splitlines():
        if line.startswith("{") and '"create_evaluation"' in line:
            found += 1 + json.loads(line).get("lines_lost", 0)
    return found
