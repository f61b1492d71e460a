"""`make bench`: every figure as a ratio in one run, rounds interleaved, median with its spread."""

import argparse
import gc
import os
import statistics
from pathlib import Path

from service.app import create_app
from service.evaluation.running.run import CYCLES_KEPT
from service.web.telemetry.log_writer import LogWriter
from tests.benchmarks import (
    advice,
    formulas,
    gunicorn_load,
    knock,
    plans,
    screening,
    selections,
    stages,
    start,
    sweeps,
)
from tests.benchmarks.builds import EIGHTEEN_FIELDS, FULL, TWO_FACTS
from tests.benchmarks.wsgi import caller, cpu_microseconds, echo_app
from tests.support.measured import kept_in

ROUNDS = 7
MORE_ENGINES_THAN_KEPT = 2 * CYCLES_KEPT
FIRST = [
    "injector-duty",
    "injector-window",
    "clutch-torque",
    "clutch-facing-pressure",
    "manifold-pressure-range",
    "spec-consistency",
]
DEEP = [
    "knock-margin",
    "spark-advance",
    "mixture-at-power",
    "cylinder-pressure",
    "fuel-pump-flow",
    "fuel-pressure",
    "pump-relief",
    "fuel-line",
    "fuel-suction",
    "power-from-airflow",
    "charge-temperature",
    "compressor-outlet-temperature",
    "boost-cut",
    "drivetrain-loss",
]


def spread(values: list[float]) -> str:
    return f"{statistics.median(values):.1f} [{min(values):.1f}..{max(values):.1f}]"


def what_users_pay(app) -> None:
    """The call of somebody who sends a build and nothing else, ranges and questions with it; then its other
    lengths.
    """
    against_echo(app, "two facts, default call", [{"build": TWO_FACTS}])
    against_echo(app, "18 fields, default call", [{"build": EIGHTEEN_FIELDS}])
    against_echo(
        app,
        "18 fields, default call, the same engine with another injector",
        injectors_of({}, EIGHTEEN_FIELDS),
    )
    against_echo(app, "full spec, default call", [{"build": FULL}])
    against_echo(
        app, "full spec, default call, the same engine with another injector", injectors_of({}, FULL)
    )
    against_echo(app, "full spec, default call, another engine each call", engines_of({}, FULL))
    against_echo(app, "18 fields, spoken", [{"build": EIGHTEEN_FIELDS, "detail": "spoken"}])
    against_echo(app, "18 fields, full", [{"build": EIGHTEEN_FIELDS, "detail": "full"}])
    against_echo(app, "full spec, full", [{"build": FULL, "detail": "full"}])
    plans.report(app, ROUNDS)


def evaluations(app, title: str, build: dict, checks: list[str] | None = None, engines: int = 1) -> None:
    """An evaluation at summary without ranges, which are measured by themselves (advice.py)."""
    asked = {"include": ["questions"]} | ({"checks": checks} if checks else {})
    against_echo(app, title, engines_of(asked, build, engines))


def injectors_of(asked: dict, build: dict, injectors: int = 200) -> list[dict]:
    """The same call over injectors: what a counter asks of an engine that the service remembers."""
    return [
        asked
        | {
            "build": build
            | {"fuel_system": build["fuel_system"] | {"injector_flow": f"{45 + step / 10} lb/h"}}
        }
        for step in range(injectors)
    ]


def engines_of(asked: dict, build: dict, engines: int = MORE_ENGINES_THAN_KEPT) -> list[dict]:
    """The same call over engines that differ in boost. Of more than the service remembers cycles of, none
    is remembered.
    """
    return [
        asked
        | {
            "build": build
            | {"induction": build["induction"] | {"boost": f"{10 + 4 * engine / engines:.6f} psi"}}
        }
        for engine in range(engines)
    ]


def against_echo(app, title: str, bodies: list[dict]) -> None:
    """CPU time of an evaluation against the echo of the same bodies."""
    evaluate, echo = caller(app, "/v1/evaluations", *bodies), caller(echo_app(), "/echo", *bodies)
    for call in (evaluate, echo):
        cpu_microseconds(call, 300)
    rounds = [(cpu_microseconds(evaluate), cpu_microseconds(echo)) for _ in range(ROUNDS)]
    ratios = [ours / theirs for ours, theirs in rounds]
    print(
        f"{title}: evaluation {spread([ours for ours, _ in rounds])} us, echo "
        f"{spread([theirs for _, theirs in rounds])} us, ratio {statistics.median(ratios):.2f} "
        f"[{min(ratios):.2f}..{max(ratios):.2f}], reply {len(evaluate())} bytes"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--no-server", action="store_true", help="leave out the gunicorn figures")
    given = parser.parse_args()
    with kept_in(Path(__file__).parent / "README.md", "make bench"):
        report(with_server=not given.no_server)


def report(with_server: bool) -> None:
    """Prints every figure."""
    # As it is shipped: every evaluation is logged.
    app = create_app(LogWriter(os.open(os.devnull, os.O_WRONLY)).write)
    # As service/wsgi.py does.
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)
    what_users_pay(app)
    formulas.report(FULL, ROUNDS)
    for title, checks in (
        ("first six checks", FIRST),
        ("first twenty checks", FIRST + DEEP),
        ("all checks", None),
    ):
        evaluations(
            app,
            f"18 fields, {title}, another engine each call",
            EIGHTEEN_FIELDS,
            checks,
            MORE_ENGINES_THAN_KEPT,
        )
        evaluations(app, f"18 fields, {title}, the same engine again", EIGHTEEN_FIELDS, checks)
    evaluations(app, "full spec, another engine each call", FULL, None, MORE_ENGINES_THAN_KEPT)
    evaluations(app, "full spec, the same engine again", FULL)
    stages.report(app, FULL)
    knock.report()
    advice.report(
        app.extensions["engine-build-rules"].evaluator,
        ROUNDS,
        eighteen_fields=EIGHTEEN_FIELDS,
        full_spec=FULL,
    )
    advice.working_backwards(
        app.extensions["engine-build-rules"].evaluator, eighteen_fields=EIGHTEEN_FIELDS, full_spec=FULL
    )
    sweeps.report(
        app.extensions["engine-build-rules"].evaluator,
        ROUNDS,
        eighteen_fields=EIGHTEEN_FIELDS,
        full_spec=FULL,
    )
    selections.report(app.extensions["engine-build-rules"].evaluator, ROUNDS)
    screening.report()
    if with_server:
        start.report(EIGHTEEN_FIELDS, ROUNDS)
        gunicorn_load.report(EIGHTEEN_FIELDS)


if __name__ == "__main__":
    main()
