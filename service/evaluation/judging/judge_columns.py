"""From columns of values to columns of verdicts: the same limits as judge.py, entry by entry, without a loop over entries."""

from dataclasses import dataclass

import numpy

from service.evaluation.judging.judge import SEVERITY
from service.evaluation.planning.plan import CheckPlan, Judged, slots_read

NOT_CHECKED, NOT_APPLICABLE = -1, -2
VERDICTS = {severity: verdict for verdict, severity in SEVERITY.items()} | {
    NOT_CHECKED: "not_checked",
    NOT_APPLICABLE: "not_applicable",
}


NAMES = ("severity", "value", "limit", "margin", "point", "bound")


@dataclass(slots=True)
class Column:
    """The verdicts of one check as columns: severity, then value, limit, margin, point and bound of what decided (positions; -1 where nothing did)."""

    severity: numpy.ndarray
    value: numpy.ndarray
    limit: numpy.ndarray
    margin: numpy.ndarray
    point: numpy.ndarray
    bound: numpy.ndarray


def judge_columns(plan: CheckPlan, values: list, length: int) -> Column:
    """The verdicts of one check over columns; a value that is not a column counts for every entry."""
    if length > 1 and not any(isinstance(values[slot], numpy.ndarray) for slot in slots_read(plan)):
        one = judge_columns(plan, values, 1)
        return Column(*(numpy.broadcast_to(getattr(one, name), (length,)) for name in NAMES))
    worst = _worst(plan.judged, values, length)
    if plan.eased:
        worst.severity = numpy.where(worst.severity == 2, 1, worst.severity)
    if plan.second:
        second = _worst(plan.second, values, length)
        worst.severity = numpy.where((second.severity == 2) & (worst.severity == 0), 1, worst.severity)
    for slot, number in reversed(plan.above):
        value = _column(values[slot], length)
        worst.severity = numpy.where(
            value > number, worst.severity, numpy.where(numpy.isnan(value), NOT_CHECKED, NOT_APPLICABLE)
        )
    return worst


def _worst(judged: list[Judged], values: list, length: int) -> Column:
    worst, worst_rank, worst_margin = None, None, None
    for position, one in enumerate(judged):
        made, held_back = _judge_point(one, values, length, position)
        # Worst first; a fail held back to a warning comes before what is only a warning.
        rank = made.severity + 0.5 * held_back
        closeness = -numpy.where(numpy.isnan(made.margin), 0.0, made.margin)
        if worst is None:
            worst, worst_rank, worst_margin = made, rank, closeness
            continue
        takes = (made.severity >= 0) & (
            (worst.severity < 0) | (rank > worst_rank) | ((rank == worst_rank) & (closeness > worst_margin))
        )
        for name in NAMES:
            setattr(worst, name, numpy.where(takes, getattr(made, name), getattr(worst, name)))
        worst_rank, worst_margin = (
            numpy.where(takes, rank, worst_rank),
            numpy.where(takes, closeness, worst_margin),
        )
    return worst


def _judge_point(one: Judged, values: list, length: int, position: int) -> tuple[Column, numpy.ndarray]:
    """One point against its limits, and where a fail was held back to a warning."""
    severity = numpy.zeros(length, int)
    made_value, made_limit, made_margin = (numpy.full(length, numpy.nan) for _ in range(3))
    made_bound = numpy.full(length, -1)
    counted = numpy.zeros(length, bool)
    unknown = numpy.isnan(_column(values[one.slot], length))
    beyond_doubt = ~unknown
    for order, (level, (bound, slot, number, limit_slot)) in enumerate(bounds_of(one)):
        weight = SEVERITY[level]
        value = _column(values[slot], length)
        limit = _column(number if limit_slot is None else values[limit_slot], length)
        found = ~(numpy.isnan(value) | numpy.isnan(limit))
        unknown = unknown | ~found
        above = bound.side == "above"
        crossed = found & (value > limit if above else value < limit)
        with numpy.errstate(all="ignore"):
            margin = numpy.where(
                limit == 0, numpy.nan, (limit - value if above else value - limit) / numpy.abs(limit)
            )
        own = slot == one.slot
        crosses = crossed & ((severity != weight) | own)
        nearer = found & ~crossed & (~counted | ((severity == 0) & own & (margin < made_margin)))
        severity = numpy.where(crossed, weight, severity)
        takes = crosses | nearer
        counted = counted | takes
        made_value, made_limit, made_margin = (
            numpy.where(takes, new, old)
            for new, old in ((value, made_value), (limit, made_limit), (margin, made_margin))
        )
        made_bound = numpy.where(takes, order, made_bound)
    # A limit that cannot be looked at hides no fail that another one shows.
    severity = numpy.where(unknown & ~((severity == 2) & beyond_doubt), NOT_CHECKED, severity)
    held_back = (severity == 2) & bool(one.at_worst == "warn")
    severity = numpy.where(held_back, 1, severity)
    point = numpy.where(severity >= 0, position, -1)
    return Column(severity, made_value, made_limit, made_margin, point, made_bound), held_back


def bounds_of(one: Judged) -> list[tuple[str, tuple]]:
    """The limits of one point in the order they are looked at, each with its level."""
    return [(level, bound) for level in ("warn", "fail") for bound in one.bounds.get(level, ())]


def _column(value: object, length: int) -> numpy.ndarray:
    return numpy.broadcast_to(numpy.asarray(numpy.nan if value is None else value, float), (length,))
