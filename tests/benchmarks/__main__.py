"""`make bench`: every figure as a ratio in one run, rounds interleaved, median with its spread."""

import argparse
import statistics

from service.app import create_app
from tests.benchmarks import formulas, gunicorn_load, knock, stages
from tests.benchmarks.builds import EIGHTEEN_FIELDS, FULL
from tests.benchmarks.wsgi import caller, cpu_microseconds, echo_app

ROUNDS = 7


def spread(values: list[float]) -> str:
    return f"{statistics.median(values):.1f} [{min(values):.1f}..{max(values):.1f}]"


def evaluations(app, title: str, build: dict) -> None:
    """CPU time of an evaluation at summary against the echo of the same body."""
    body = {"build": build}
    evaluate, echo = caller(app, "/v1/evaluations", body), caller(echo_app(), "/echo", body)
    for call in (evaluate, echo):
        cpu_microseconds(call, 300)
    rounds = [(cpu_microseconds(evaluate), cpu_microseconds(echo)) for _ in range(ROUNDS)]
    ratios = [ours / theirs for ours, theirs in rounds]
    print(f"{title}: evaluation {spread([ours for ours, _ in rounds])} us, echo {spread([theirs for _, theirs in rounds])} us, ratio {statistics.median(ratios):.2f} [{min(ratios):.2f}..{max(ratios):.2f}], reply {len(evaluate())} bytes")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--no-server", action="store_true", help="leave out the gunicorn figures")
    given = parser.parse_args()
    app = create_app()
    formulas.report(FULL, ROUNDS)
    evaluations(app, "18 fields", EIGHTEEN_FIELDS)
    evaluations(app, "full spec", FULL)
    stages.report(app, FULL)
    knock.report()
    if not given.no_server:
        gunicorn_load.report(EIGHTEEN_FIELDS)


main()
