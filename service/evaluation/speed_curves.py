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
from service.evaluation.request import Request
from service.evaluation.running.columns import FloatColumn, run_columns
from service.evaluation.speed_ranges import ColumnRange, CurveRun, movers
from service.evaluation.speed_words import ANY_SPEED, Curves, CurveWords
from service.json_object import JsonObject
from service.rulebook.names import at_point, split_point

POINT = ANY_SPEED
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
# What people ask for, with the range that the assumptions leave.
RANGED = ("attainable_power", "attainable_torque")
LOWEST_SPEED = 1500 * numpy.pi / 30
DEFAULT_COUNT = 16
MOST_SPEEDS = 200


@dataclass(frozen=True, slots=True)
class SpeedRange:
    """Speeds in rad/s; None where the service chooses: from 1,500 rpm to the redline."""

    low: float | None = None
    high: float | None = None
    count: int = DEFAULT_COUNT


def speed_curves(evaluator: Evaluator, build: JsonObject, asked: SpeedRange, units: str) -> JsonObject:
    """Columns of what the build does at each speed, and what is missing for those it cannot tell."""
    evaluator = evaluator.speaking(units)
    known = evaluator.read(build)
    reporter, rulebook, slots = evaluator.reporter, evaluator.rulebook, evaluator.slots
    run = evaluator.run(known)
    report = reporter.examine(Request(build, units=units), run)
    speeds = _speeds(evaluator, known, asked)
    speed_name = at_point("speed", POINT)
    known = known.with_numbers({speed_name: float(speeds[0])})
    resolution = Resolution(rulebook, known)
    names = tuple(at_point(name, POINT) for name in COLUMNS)
    told = tuple(name for name in names if resolution.known(name))
    plan = make_plan(resolution, NO_CHECKS, names)
    values = run_columns(plan, known, slots, {speed_name: speeds})
    columns = {speed_name: speeds} | {
        name: numpy.broadcast_to(values[slots[name]], speeds.shape) for name in told
    }
    ranges = _ranges(resolution, known, slots, columns)
    leaning = dict.fromkeys(lean for name in told for lean in sorted(resolution.lean(name)))
    missing = _missing(resolution, [name for name in names if name not in told])
    curves = Curves(columns, ranges, known.numbers)
    words = CurveWords(evaluator.writer, units)
    answer: JsonObject = {
        "headline": words.headline(curves, [rule.text for rule in report.scope], missing),
        "columns": [_column(evaluator, name, curves, units) for name in columns],
        "not_worked_out": [words.missing(entry) for entry in missing],
    }
    if report.scope:
        answer["scope"] = report.scope_words
    first = sorted(missing, key=lambda entry: entry["quantity"] not in RANGED)
    asks = [group[0] for entry in first for group in entry["needs"]]
    return answer | {
        "questions": reporter.brief_questions(report, list(dict.fromkeys(asks))),
        "understood": [{"input": path, "text": text} for path, text in known.understood],
        "assumptions": reporter.assumptions.listed(
            [resolution.leans[lean] for lean in leaning], units, full=False
        ),
        "rulebook": reporter.identity,
        "service": rulebook.version,
    }


def _ranges(
    resolution: Resolution, known: Known, slots: dict[str, int], columns: dict[str, FloatColumn]
) -> dict[str, ColumnRange]:
    """The ranges of power and torque."""
    speed_name, speeds = next(iter(columns.items()))
    names = [at_point(name, POINT) for name in RANGED]
    names = [name for name in names if name in columns]
    if not names:
        return {}
    behind = frozenset[str]().union(*(resolution.lean(name) for name in names))
    moving = movers([resolution.leans[id] for id in sorted(behind)], known)
    plan = make_plan(resolution, NO_CHECKS, tuple(names))
    return CurveRun(plan, known, slots, speed_name, speeds).ranges(names, moving)


def _missing(resolution: Resolution, names: list[str]) -> list[JsonObject]:
    """What the names lack."""
    needs = Needs(resolution)
    return [
        {"quantity": split_point(name)[0], "needs": [list(group) for group in needs.of(name) or []]}
        for name in names
    ]


def _speeds(evaluator: Evaluator, known: Known, asked: SpeedRange) -> FloatColumn:
    numbers = known.numbers
    high = asked.high or numbers.get("engine__redline") or numbers.get("engine__peak_power_speed")
    if high is None:
        detail = "Neither a speed range nor the redline is given."
        expected = '{"from": "2000 rpm", "to": "6500 rpm"}, or engine.redline'
        ask = evaluator.rulebook.inputs["engine.redline"].ask
        raise SpecError([SpecFault("/speeds", "missing", detail, expected, ask)])
    low = asked.low or min(LOWEST_SPEED, high / 2)
    if not low < high:
        detail = "The range ends below where it starts."
        raise SpecError([SpecFault("/speeds/from", "out-of-range", detail, "from below to")])
    return numpy.linspace(low, high, asked.count)


def _column(evaluator: Evaluator, name: str, curves: Curves, units: str) -> JsonObject:
    quantity = evaluator.rulebook.graph.nodes[name].quantity
    shower = evaluator.writer.shower_of(name, units)

    def shown(values: FloatColumn) -> list[float | None]:
        return [None if numpy.isnan(value) else ten_digits(shower.number(float(value))) for value in values]

    words: JsonObject = {
        "quantity": quantity.name,
        "label": quantity.label,
        "unit": shower.unit,
        "values": shown(curves.columns[name]),
    }
    if name in curves.ranges:
        words |= {"low": shown(curves.ranges[name].low), "high": shown(curves.ranges[name].high)}
    return words
