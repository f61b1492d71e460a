"""Ranges and could_be against draws of everything assumed and of everything given with a tolerance.

How many draws lie inside, and whether a verdict that one draw in fifty gives was left out.
"""

from dataclasses import dataclass

import numpy

from service.evaluation.judging.judge_columns import VERDICTS
from service.evaluation.known import Known
from service.evaluation.request import Request
from service.evaluation.sweep import sweep
from service.units.units import to_si
from tests.support.rules import real_evaluator

DRAWS = 100_000
LEAST_INSIDE = 0.90
ONE_IN_FIFTY = 0.02
BUILDS = {
    "2.0 L four, natural": {
        "engine": {
            "cylinders": 4,
            "displacement": "2.0 L",
            "compression_ratio": 10.5,
            "peak_torque_speed": "4500 rpm",
            "peak_power_speed": "6500 rpm",
        },
        "induction": {"kind": "natural"},
        "fuel": {"ron": 95},
        "fuel_system": {"delivery": "port", "injector_count": 4, "injector_flow": "240 cc/min"},
        "target": {"power": "150 hp", "power_at": "crank"},
    },
    "1.5 L three, turbo, direct injection": {
        "engine": {
            "cylinders": 3,
            "displacement": "1.5 L",
            "compression_ratio": 10.5,
            "peak_torque_speed": "2000 rpm",
            "peak_power_speed": "5500 rpm",
        },
        "induction": {"kind": "turbo", "boost": "1.1 bar"},
        "fuel": {"ron": 95},
        "fuel_system": {"delivery": "direct", "rail_pressure": "200 bar"},
        "target": {"power": "150 hp", "power_at": "crank"},
    },
    "5.7 L V8, roots blower": {
        "engine": {"cylinders": 8, "displacement": "5.7 L", "compression_ratio": 9.0},
        "induction": {"kind": "roots", "boost": "8 psi"},
        "fuel": {"aki": 91},
        "fuel_system": {"injector_count": 8, "injector_flow": "42 lb/h", "pump_flow": "255 L/h"},
        "clutch": {"torque_rating": "450 lb-ft"},
        "target": {"power": "450 hp", "power_at": "wheels"},
    },
    "1.8 L four, turbo, half a spec": {
        "engine": {"cylinders": 4, "displacement": "1.8 L", "compression_ratio": 9.0},
        "induction": {"kind": "turbo", "boost": "1.0 bar"},
        "fuel": {"ron": 98},
        "fuel_system": {"injector_count": 4, "injector_flow": "440 cc/min"},
        "target": {"power": "260 hp"},
    },
    "3.0 L six, centrifugal, E85": {
        "engine": {"cylinders": 6, "displacement": "3.0 L", "peak_power_speed": "6500 rpm"},
        "induction": {"kind": "centrifugal", "boost": "9 psi"},
        "fuel": {"grade": "e85"},
        "fuel_system": {"injector_count": 6, "injector_flow": "650 cc/min", "pump_flow": "320 L/h"},
        "target": {"power": "400 hp", "power_at": "crank"},
    },
}

# A tolerance as a gauge, a dyno, a flow bench or a micrometer leaves it.
TOLERANCES = {
    ("engine", "displacement"): "1 %",
    ("engine", "compression_ratio"): "2 %",
    ("induction", "boost"): "5 %",
    ("fuel_system", "injector_flow"): "3 %",
    ("fuel_system", "pump_flow"): "5 %",
    ("clutch", "torque_rating"): "5 %",
    ("target", "power"): "4 %",
}


def blurred(build: dict) -> dict:
    """The build with a tolerance on each number that is measured."""
    return {
        group: {
            name: f"{value} ±{TOLERANCES[group, name]}" if (group, name) in TOLERANCES else value
            for name, value in fields.items()
        }
        if isinstance(fields, dict)
        else fields
        for group, fields in build.items()
    }


BUILDS |= {f"{title}, with tolerances": blurred(build) for title, build in BUILDS.items()}


@dataclass
class Drawn:
    """One check of one build: the share of draws inside its range, and verdicts of one in fifty not said."""

    check: str
    inside: float
    missed: dict[str, float]


def drawn_leans(plan, draws: int, random) -> dict[str, numpy.ndarray]:
    """A column for each assumption with ends, drawn evenly between them: the widest claim it allows."""
    columns = {}
    for lean in plan.leans:
        if lean.row is None or not lean.ends:
            continue
        columns[f"assumed__{lean.id}"] = random.uniform(lean.row.low, lean.row.high, draws)
    return columns


def drawn_numbers(known: Known, draws: int, random) -> dict[str, numpy.ndarray]:
    """A column for each number with a tolerance, drawn evenly between its ends."""
    return {name: random.uniform(*ends, draws) for name, ends in known.tolerances.items()}


def compare(build: dict, draws: int) -> list[Drawn]:
    """Each judged check of the build against the draws."""
    evaluator, random = real_evaluator(), numpy.random.default_rng(20)
    answer = evaluator.evaluate(Request(build, include=("ranges",)))
    entries = {entry["check"]: entry for entry in answer["checks"]}
    known = evaluator.reader.read(build)
    plan = evaluator.plan(known)
    columns = drawn_leans(plan, draws, random) | drawn_numbers(known, draws, random)
    swept = sweep(evaluator, plan, known, columns)
    drawn = []
    for check_plan, columns in zip(swept.plan.checks, swept.checks, strict=True):
        entry = entries.get(check_plan.check.id)
        if entry is None:
            continue
        shares = {
            VERDICTS[severity]: float(numpy.mean(columns.severity == severity))
            for severity in numpy.unique(columns.severity).tolist()
        }
        said = {entry["verdict"], *entry.get("could_be", ())}
        missed = {
            verdict: share
            for verdict, share in shares.items()
            if share > ONE_IN_FIFTY + 3 * (ONE_IN_FIFTY / draws) ** 0.5 and verdict not in said
        }
        drawn.append(Drawn(check_plan.check.id, _inside(evaluator, check_plan, entry, columns), missed))
    return drawn


def _inside(evaluator, check_plan, entry, columns) -> float:
    """The share of draws inside the range, among those that the same operating point decided."""
    if "range" not in entry:
        return 1.0
    stated = entry["range"]
    dimension = evaluator.rulebook.quantities[check_plan.check.judges].dimension
    unit = f" {stated['unit']}" if stated["unit"] else ""
    low, high = (to_si(f"{stated[end]:.9f}{unit}", dimension) for end in ("low", "high"))
    points = [point.point for point in check_plan.points]
    at = points.index(entry.get("judged_at")) if entry.get("judged_at") in points else 0
    value = columns.value[columns.point == at]
    slack = 1e-6 * abs(high - low)
    return float(numpy.mean((value >= low - slack) & (value <= high + slack))) if len(value) else 1.0


def prove(draws: int = DRAWS) -> bool:
    """Prints, for each build, the lowest share inside a range and what was missed."""
    held = True
    for title, build in BUILDS.items():
        drawn = compare(build, draws)
        least = min(drawn, key=lambda one: one.inside)
        missed = {one.check: one.missed for one in drawn if one.missed}
        narrow = {one.check: round(one.inside, 3) for one in drawn if one.inside < LEAST_INSIDE}
        print(
            f"{title}: {draws:,} draws, {len(drawn)} checks; fewest inside {least.inside:.1%} ({least.check})"
        )
        if missed or narrow:
            print(f"    verdicts not said: {missed}; ranges too narrow: {narrow}")
            held = False
    return held
