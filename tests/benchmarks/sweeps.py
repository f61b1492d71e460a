"""Sweeps: cost a candidate, against one at a time."""

import statistics
import time

import numpy

from service.evaluation.evaluate import Evaluator
from service.evaluation.request import Request
from service.evaluation.sweep import sweep

CANDIDATES = 10_000


def report(evaluator: Evaluator, rounds: int, **builds: dict) -> None:
    for title, build in builds.items():
        known = evaluator.reader.read(build)
        plan = evaluator.plan(known)
        flow = next(name for name in known.numbers if name.startswith("fuel_system__injector_flow"))
        for what, name, path in (
            ("injector flow, knock does not vary", flow, "fuel_system.injector_flow"),
            ("boost, knock varies", "induction__boost", "induction.boost"),
        ):
            column = known.numbers[name] * numpy.linspace(0.6, 1.4, CANDIDATES)
            figures = []
            for _ in range(rounds):
                together = _time(lambda: sweep(evaluator, plan, known, {name: column})) / CANDIDATES
                alone = _alone(evaluator, build, path)
                figures.append((together, alone / together))
            print(
                f"sweep of {CANDIDATES} candidates of {title}, {what}: "
                f"{1e6 * statistics.median(row[0] for row in figures):.2f} us a candidate, "
                f"{statistics.median(row[1] for row in figures):.0f} times faster than one at a time "
                f"[{min(row[1] for row in figures):.0f}..{max(row[1] for row in figures):.0f}]"
            )


def _alone(evaluator: Evaluator, build: dict, path: str, count: int = 200) -> float:
    """Seconds an evaluation, each of another value."""
    group, _, name = path.partition(".")
    texts = [f"{10 + entry / 1000} {'psi' if name == 'boost' else 'lb/h'}" for entry in range(count)]
    requests = [
        Request({**build, group: {**build[group], name: text}}, detail="spoken", include=()) for text in texts
    ]
    start = time.process_time()
    for request in requests:
        evaluator.evaluate(request)
    return (time.process_time() - start) / count


def _time(call) -> float:
    start = time.process_time()
    call()
    return time.process_time() - start
