"""What ranges, remedies and limits cost beside the rules alone."""

import statistics
import time

from service.advice.limits import LimitsRequest, limits
from service.advice.remedies import add_remedies
from service.advice.requirements import RequirementsRequest, requirements
from service.advice.solutions import Reach, SolutionsRequest, solutions
from service.evaluation.evaluate import Evaluator
from service.evaluation.request import Request
from service.evaluation.running.run import CYCLES_KEPT
from tests.benchmarks.wsgi import caller, cpu_microseconds, echo_app

FOUR_FAILING = {
    "usage": "street",
    "engine": {
        "cylinders": 4,
        "displacement": "1.8 L",
        "bore": "81 mm",
        "stroke": "86.4 mm",
        "compression_ratio": 10.5,
        "peak_power_speed": "6000 rpm",
        "redline": "6800 rpm",
    },
    "induction": {"kind": "turbo", "boost": "20 psi"},
    "fuel": {"ron": 95},
    "charge_cooling": {"kind": "air_to_air"},
    "clutch": {"torque_rating": "280 N.m"},
    "sensors": {"manifold_pressure_range": "2 bar"},
    "target": {"power": "270 hp", "power_at": "wheels"},
    "fuel_system": {"injector_count": 4, "injector_flow": "400 cc/min", "pump_flow": "120 L/h"},
}
DRIVEN = {
    "engine": {
        "displacement": "5.0 L",
        "cylinders": 8,
        "peak_power_speed": "6500 rpm",
        "redline": "7000 rpm",
        "compression_ratio": 9.5,
    },
    "induction": {"kind": "screw", "blower_displacement": "2.3 L", "crank_pulley_diameter": "6.6 in"},
    "fuel": {"aki": 93},
    "target": {"power": "550 hp"},
}
SEARCHES = {
    "which pulley makes 10 psi": ("induction.blower_pulley_diameter", Reach("boost_from_drive", "10 psi")),
    "which boost makes 500 hp": ("induction.boost", Reach("expected_power", "500 hp")),
}
CALLS = 300


def report(evaluator: Evaluator, rounds: int, **builds: dict) -> None:
    """CPU time with ranges over that of the rules alone; remedies and limits in ms."""
    for name, build in builds.items():
        for title, engines in (("another engine each call", 2 * CYCLES_KEPT), ("the same engine again", 1)):
            bodies = [
                build | {"induction": build["induction"] | {"boost": f"{10 + 4 * engine / engines:.6f} psi"}}
                for engine in range(engines)
            ]
            figures = []
            for _ in range(rounds):
                alone, ranged = (_microseconds(evaluator, bodies, include) for include in ((), ("ranges",)))
                figures.append((alone, ranged, ranged / alone))
            alone, ranged, ratio = (statistics.median(column) for column in zip(*figures, strict=False))
            print(
                f"{name}, {title}: rules alone {alone:.0f} us, with ranges {ranged:.0f} us, {ratio:.2f} "
                f"times [{min(row[2] for row in figures):.2f}..{max(row[2] for row in figures):.2f}]"
            )
    asked = Request(FOUR_FAILING, include=("remedies",))
    answer = evaluator.evaluate(asked)
    failing = sum(entry["verdict"] == "fail" for entry in answer["checks"])
    warning = sum(entry["verdict"] == "warn" for entry in answer["checks"])
    echo = caller(echo_app(), "/echo", {"build": FOUR_FAILING, "include": ["remedies"]})
    cpu_microseconds(echo, CALLS)
    reference = cpu_microseconds(echo) / 1e6
    for title, seconds in (
        ("first time", _time(lambda: add_remedies(evaluator, asked, answer), 1)),
        ("plans in the cache", _time(lambda: add_remedies(evaluator, asked, answer), 50)),
    ):
        offered = sum(len(entry.get("remedies", ())) for entry in answer["checks"])
        print(
            f"remedies of a build with {failing} failing and {warning} warning checks, {offered} offered, "
            f"{'with' if 'plan' in answer else 'without'} a plan, {title}: {1000 * seconds:.1f} ms, "
            f"{seconds / reference:.0f} echoes"
        )
    print(
        "limits of every lever that build gives: "
        f"{1000 * _time(lambda: limits(evaluator, LimitsRequest(FOUR_FAILING)), 20):.1f} ms"
    )


def working_backwards(evaluator: Evaluator, **builds: dict) -> None:
    """Shopping lists and solutions in echoes of the same body, with their plans in the cache."""
    for name, build in builds.items():
        asked = RequirementsRequest(build)
        seconds = _warm(lambda asked=asked: requirements(evaluator, asked), 10)
        print(f"requirements of {name}: {1000 * seconds:.1f} ms, {seconds / _echo(build):.0f} echoes")
    for title, (find, reach) in SEARCHES.items():
        wanted = SolutionsRequest(DRIVEN, find, reach)
        seconds = _warm(lambda wanted=wanted: solutions(evaluator, wanted), 20)
        print(f"solution, {title}: {1000 * seconds:.1f} ms, {seconds / _echo(DRIVEN):.0f} echoes")


def _warm(call, calls: int) -> float:
    call()
    return _time(call, calls)


def _echo(build: dict) -> float:
    echo = caller(echo_app(), "/echo", {"build": build})
    cpu_microseconds(echo, CALLS)
    return cpu_microseconds(echo) / 1e6


def _microseconds(evaluator: Evaluator, bodies: list[dict], include: tuple[str, ...]) -> float:
    """CPU time of one evaluation; bodies in turn, more of them than are remembered or one again and again."""
    requests = [
        Request(bodies[call % len(bodies)], include=include)
        for call in range(len(bodies) if len(bodies) > 1 else CALLS)
    ]
    start = time.process_time()
    for request in requests:
        evaluator.evaluate(request)
    return (time.process_time() - start) / len(requests) * 1e6


def _time(call, calls: int) -> float:
    start = time.process_time()
    for _ in range(calls):
        call()
    return (time.process_time() - start) / calls
