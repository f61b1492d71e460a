"""The build across the speed range: one plan, speeds as a column, one vectorised run."""

from dataclasses import dataclass

import numpy

from service.errors import SpecError, SpecFault
from service.evaluation.evaluate import Evaluator
from service.evaluation.known import Known
from service.evaluation.planning.needs import Needs
from service.evaluation.planning.plan import NO_CHECKS, make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.reporting.display import ten_digits
from service.evaluation.running.columns import run_columns
from service.rulebook.names import at_point, split_point

POINT = "any_speed"
COLUMNS = (
    "boost",
    "manifold_pressure",
    "manifold_temperature",
    "air_flow",
    "knock_limited_phasing",
    "knock_torque_share",
    "attainable_power",
    "attainable_torque",
    "fuel_flow",
    "injectors_open",
    "pump_share",
)
LOWEST_SPEED = 1500 * numpy.pi / 30
DEFAULT_COUNT = 16
MOST_SPEEDS = 200


@dataclass(frozen=True, slots=True)
class SpeedRange:
    """Speeds in rad/s; None where the service chooses: from 1,500 rpm to the redline."""

    low: float | None = None
    high: float | None = None
    count: int = DEFAULT_COUNT


def speed_curves(evaluator: Evaluator, build: dict, wanted: SpeedRange, units: str) -> dict:
    """Columns of what the build does at each speed, and what is missing for those it cannot tell."""
    known = evaluator.reader.read(build)
    rulebook, slots = evaluator.rulebook, evaluator.rulebook.graph.slots
    speeds = _speeds(evaluator, known, wanted)
    speed_name = at_point("speed", POINT)
    known.numbers[speed_name] = float(speeds[0])
    resolution = Resolution(rulebook, known)
    names = tuple(at_point(name, POINT) for name in COLUMNS)
    plan = make_plan(rulebook, resolution, NO_CHECKS, names)
    values = run_columns(plan, known, slots, {speed_name: speeds})
    columns = [_column(evaluator, speed_name, speeds, units)]
    columns += [
        _column(evaluator, name, numpy.broadcast_to(values[slots[name]], speeds.shape), units)
        for name in names
        if resolution.known(name)
    ]
    needs = Needs(resolution)
    missing = [
        {"quantity": split_point(name)[0], "needs": [list(group) for group in needs.of(name) or []]}
        for name in names
        if not resolution.known(name)
    ]
    leaning = {
        lean: None for name in names if resolution.known(name) for lean in sorted(resolution.lean(name))
    }
    return {
        "columns": columns,
        "not_worked_out": missing,
        "understood": [{"input": path, "text": text} for path, text in known.understood],
        "assumptions": evaluator.reporter.assumptions(
            [resolution.leans[lean] for lean in leaning], units, full=False
        ),
        "rulebook": evaluator.reporter.identity,
        "service": rulebook.version,
    }


def _speeds(evaluator: Evaluator, known: Known, wanted: SpeedRange) -> numpy.ndarray:
    high = (
        wanted.high or known.numbers.get("engine__redline") or known.numbers.get("engine__peak_power_speed")
    )
    if high is None:
        ask = evaluator.rulebook.inputs["engine.redline"].ask
        raise SpecError(
            [
                SpecFault(
                    "/speeds",
                    "missing",
                    "Neither a speed range nor the redline is given.",
                    '{"from": "2000 rpm", "to": "6500 rpm"}, or engine.redline',
                    ask,
                )
            ]
        )
    low = wanted.low or min(LOWEST_SPEED, high / 2)
    if not low < high:
        raise SpecError(
            [
                SpecFault(
                    "/speeds/from", "out-of-range", "The range ends below where it starts.", "from below to"
                )
            ]
        )
    return numpy.linspace(low, high, wanted.count)


def _column(evaluator: Evaluator, name: str, values: numpy.ndarray, units: str) -> dict:
    quantity = evaluator.rulebook.graph.nodes[name].quantity
    shower = evaluator.writer.shower_of(name, units)
    shown = [
        None if numpy.isnan(value) else ten_digits((float(value) - shower.offset) / shower.factor)
        for value in values
    ]
    return {"quantity": quantity.name, "label": quantity.label, "unit": shower.unit, "values": shown}
