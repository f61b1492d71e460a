"""Where the time of one evaluation goes."""

import time

import orjson

from service.evaluation.request import Request
from service.evaluation.running.run import run_plan


def report(app, build: dict) -> None:
    """CPU time of each stage of the full spec."""
    state = app.extensions["engine-build-rules"]
    evaluator, rulebook = state.evaluator, state.rulebook
    body = {"build": build}
    request = Request(**state.requests.load("EvaluationRequest", body).fields)
    known = evaluator.reader.read(build)
    plan = evaluator.plan(known)
    run = run_plan(plan, known, evaluator.slots)
    answer = evaluator.evaluate(request)
    stages = {
        "request schema": lambda: state.requests.load("EvaluationRequest", body),
        "reading the spec": lambda: evaluator.reader.read(build),
        "plan from the cache": lambda: evaluator.plan(known),
        "run": lambda: run_plan(plan, known, evaluator.slots),
        "judge and explain": lambda: evaluator.reporter.report(request, run),
        "digest of the request": lambda: request.digest(rulebook.digest),
        "JSON out": lambda: orjson.dumps(answer),
    }
    print(
        "stages of the full spec, us: "
        + ", ".join(f"{name} {_microseconds(call):.1f}" for name, call in stages.items())
    )


def _microseconds(call, calls: int = 600) -> float:
    start = time.process_time()
    for _ in range(calls):
        call()
    return (time.process_time() - start) / calls * 1e6
