"""From columns of values to columns of verdicts: the limits of judge.py for every entry, without a loop over
them.
"""

from dataclasses import dataclass, fields
from typing import NamedTuple

import numpy
from numpy.typing import NDArray

from service.evaluation.judging.judge import SEVERITY
from service.evaluation.planning.check_plan import AT_LIMIT, CheckPlan, Limit, PointPlan
from service.evaluation.running.columns import ColumnValues, FloatColumn

IntColumn = NDArray[numpy.int_]
BoolColumn = NDArray[numpy.bool_]
NOT_CHECKED, NOT_APPLICABLE = -1, -2
PASS, WARN, FAIL = (SEVERITY[verdict] for verdict in ("pass", "warn", "fail"))
VERDICTS = {severity: verdict for verdict, severity in SEVERITY.items()} | {
    NOT_CHECKED: "not_checked",
    NOT_APPLICABLE: "not_applicable",
}


@dataclass(slots=True)
class CheckColumns:
    """The verdicts of one check, and what decided each: the position of its point, and of the limit among
    those of the point.

    Positions are -1 where nothing decided.
    """

    severity: IntColumn
    value: FloatColumn
    limit: FloatColumn
    margin: FloatColumn
    point: IntColumn
    counting: IntColumn

    @classmethod
    def empty(cls, length: int) -> "CheckColumns":
        """Passes that nothing decided."""
        value, limit, margin = (numpy.full(length, numpy.nan) for _ in range(3))
        nowhere = numpy.full(length, -1)
        return cls(numpy.zeros(length, int), value, limit, margin, nowhere, nowhere)

    @classmethod
    def joined(cls, parts: list["CheckColumns"]) -> "CheckColumns":
        """Parts one after the other."""
        if len(parts) == 1:
            return parts[0]
        return cls(*(numpy.concatenate([getattr(part, name) for part in parts]) for name in _NAMES))

    def spread_over(self, length: int) -> "CheckColumns":
        """One entry for all."""
        return CheckColumns(*(numpy.broadcast_to(getattr(self, name), (length,)) for name in _NAMES))

    def take(self, where: BoolColumn, other: "CheckColumns") -> None:
        """Takes over entries of another."""
        for name in _NAMES:
            setattr(self, name, numpy.where(where, getattr(other, name), getattr(self, name)))


_NAMES = tuple(field.name for field in fields(CheckColumns))


def deciding(plan: CheckPlan, point: int, counting: int) -> tuple[PointPlan, Limit]:
    """The point and the limit that decided, by their positions in CheckColumns."""
    point_plan = plan.points[point]
    return point_plan, point_plan.limits[counting]


def judge_columns(plan: CheckPlan, values: ColumnValues, length: int) -> CheckColumns:
    """The verdicts of one check over columns; a value that is not a column counts for every entry."""
    if length > 1 and not any(isinstance(values[slot], numpy.ndarray) for slot in plan.slots_read()):
        return judge_columns(plan, values, 1).spread_over(length)
    worst = _worst_point(plan.points, values, length)
    if plan.eased:
        worst.severity = numpy.where(worst.severity == FAIL, WARN, worst.severity)
    if plan.second_look:
        second_look = _worst_point(plan.second_look, values, length)
        warned = (second_look.severity == FAIL) & (worst.severity == PASS)
        worst.severity = numpy.where(warned, WARN, worst.severity)
    for slot, number in reversed(plan.above):
        value = _column(values[slot], length)
        without = numpy.where(numpy.isnan(value), NOT_CHECKED, NOT_APPLICABLE)
        worst.severity = numpy.where(value > number, worst.severity, without)
    for outside in plan.outside:
        beyond = numpy.ones(length, bool)
        for slot, number in outside.limits:
            beyond &= _column(values[slot], length) > number
        worst.severity = numpy.where(beyond, NOT_CHECKED, worst.severity)
    return worst


def _worst_point(points: list[PointPlan], values: ColumnValues, length: int) -> CheckColumns:
    """The worst point of each entry: by severity, a fail held back before a warning, then by margin."""
    worst, held_back = _judge_point(points[0], values, length, 0)
    if len(points) == 1:
        return worst
    worst_rank = _rank(worst, held_back)
    for position, point_plan in enumerate(points[1:], start=1):
        judged, held_back = _judge_point(point_plan, values, length, position)
        rank = _rank(judged, held_back)
        worse = (rank[0] > worst_rank[0]) | ((rank[0] == worst_rank[0]) & (rank[1] > worst_rank[1]))
        takes = (judged.severity >= 0) & ((worst.severity < 0) | worse)
        worst.take(takes, judged)
        worst_rank = (numpy.where(takes, rank[0], worst_rank[0]), numpy.where(takes, rank[1], worst_rank[1]))
    return worst


def _rank(judged: CheckColumns, held_back: BoolColumn) -> tuple[FloatColumn, FloatColumn]:
    return judged.severity + 0.5 * held_back, -numpy.where(numpy.isnan(judged.margin), 0.0, judged.margin)


def _judge_point(
    point_plan: PointPlan, values: ColumnValues, length: int, position: int
) -> tuple[CheckColumns, BoolColumn]:
    """One point against its limits, and where a fail was held back to a warning; the rules are those of
    judge.py.
    """
    judged = CheckColumns.empty(length)
    counted = numpy.zeros(length, bool)
    unknown = numpy.isnan(_column(values[point_plan.slot], length))
    beyond_doubt = ~unknown
    by_yes_or_no = numpy.zeros(length, bool)
    for order, limit in enumerate(point_plan.limits):
        weight, on_own_quantity = SEVERITY[limit.level], limit.slot == point_plan.slot
        held = _against(limit, values, length)
        unknown = unknown | ~held.worked_out
        closer = by_yes_or_no | (held.margin < judged.margin)
        passed = judged.severity == PASS
        nearer = held.worked_out & ~held.crossed & (~counted | (passed & on_own_quantity & closer))
        takes = (held.crossed & ((judged.severity != weight) | on_own_quantity)) | nearer
        counted = counted | takes
        by_yes_or_no = numpy.where(takes, limit.yes_or_no, by_yes_or_no)
        judged.severity = numpy.where(held.crossed, weight, judged.severity)
        judged.value = numpy.where(takes, held.value, judged.value)
        judged.limit = numpy.where(takes, held.limit, judged.limit)
        judged.margin = numpy.where(takes, held.margin, judged.margin)
        judged.counting = numpy.where(takes, order, judged.counting)
    judged.value = numpy.where(by_yes_or_no, _column(values[point_plan.slot], length), judged.value)
    # A limit that cannot be looked at hides no fail that another one shows.
    hidden = unknown & ~((judged.severity == FAIL) & beyond_doubt)
    judged.severity = numpy.where(hidden, NOT_CHECKED, judged.severity)
    held_back = (judged.severity == FAIL) & (point_plan.at_worst == "warn")
    judged.severity = numpy.where(held_back, WARN, judged.severity)
    judged.point = numpy.where(judged.severity >= 0, position, -1)
    return judged, held_back


class _Against(NamedTuple):
    """A value held against one limit."""

    value: FloatColumn
    limit: FloatColumn
    margin: FloatColumn
    crossed: BoolColumn
    worked_out: BoolColumn


def _against(limit: Limit, values: ColumnValues, length: int) -> _Against:
    value = _column(values[limit.slot], length)
    edge = _column(limit.number if limit.limit_slot is None else values[limit.limit_slot], length)
    above = limit.above
    with numpy.errstate(all="ignore"):
        inside = edge - value if above else value - edge
        margin = numpy.where((edge == 0) | limit.yes_or_no, numpy.nan, inside / numpy.abs(edge))
        # What is not a number crosses nothing.
        crossed = -inside > AT_LIMIT * numpy.abs(edge)
    worked_out = ~(numpy.isnan(value) | numpy.isnan(edge))
    return _Against(value, edge, margin, crossed, worked_out)


def _column(value: float | FloatColumn, length: int) -> FloatColumn:
    return numpy.broadcast_to(numpy.asarray(value, float), (length,))
