"""What can be said of a verdict while values lie anywhere in intervals: the limits of judge_columns.py, as
far as they are sure to be crossed or sure to leave less than a margin.
"""

from typing import Any

import numpy

from service.advice.block_verdicts import MARGIN_STEPS
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.judging.judge_columns import BoolColumn
from service.evaluation.planning.check_plan import AT_LIMIT, CheckPlan, Limit, PointPlan
from service.evaluation.running.columns import FloatColumn
from service.evaluation.running.interval_run import IntervalValues
from service.evaluation.running.intervals import Interval

# Rounding on the way to a margin is left this much room.
ROOM = 1e-9


def most_steps(plan: CheckPlan, values: IntervalValues, allowed: int) -> FloatColumn:
    """No set has a margin of more steps than this; less than any where every set is worse than allowed."""
    applies = _applies(plan, values)
    worse = applies & _worse(plan, values, allowed)
    most = numpy.minimum(numpy.maximum(_most(plan, values), 0.0), _most_beyond(plan, values, allowed))
    bounded = numpy.where(applies, numpy.maximum(most * MARGIN_STEPS + ROOM, -MARGIN_STEPS), numpy.inf)
    return numpy.where(worse, -numpy.inf, bounded)


def _worse(plan: CheckPlan, values: IntervalValues, allowed: int) -> BoolColumn:
    """Where some limit is sure to be crossed that makes the check worse than allowed."""
    worse: Any = False
    for point_plan in plan.points:
        known = _all_known(point_plan, values)
        for limit in point_plan.limits:
            if _weight(plan, point_plan, limit) > allowed:
                # A limit that cannot be looked at hides a warning, but no fail.
                looked_at = Interval.of(values[point_plan.slot]).known if limit.level == "fail" else known
                worse = worse | (looked_at & _crossed(limit, values))
    return numpy.asarray(worse, bool)


def _weight(plan: CheckPlan, point_plan: PointPlan, limit: Limit) -> int:
    """How bad a check is that crosses a limit."""
    eased = plan.eased or point_plan.at_worst == "warn"
    return min(SEVERITY[limit.level], SEVERITY["warn"]) if eased else SEVERITY[limit.level]


def _most(plan: CheckPlan, values: IntervalValues) -> FloatColumn:
    """A margin that the check does not exceed unless by being zero.

    A point that passes shows the margin of its first limit or of a nearer one on its own quantity, and of
    several points the least counts. What crosses a limit has less than none, and a limit at zero or a yes or
    no leaves none.
    """
    most: Any = numpy.inf
    for point_plan in plan.points:
        known = _all_known(point_plan, values)
        for order, limit in enumerate(point_plan.limits):
            if not limit.yes_or_no and (order == 0 or limit.slot == point_plan.slot):
                most = numpy.minimum(most, numpy.where(known, _most_margin(limit, values), numpy.inf))
    return numpy.asarray(most, float)


def _most_beyond(plan: CheckPlan, values: IntervalValues, allowed: int) -> FloatColumn:
    """What a check has at most where a point is sure to cross a limit.

    The margin is that of a limit crossed, of this point or of one that ranks before it, which only a fail
    lets another point do. Where a limit is crossed that makes the check worse than allowed it does not
    matter.
    """
    most: Any = numpy.inf
    for point_plan in plan.points:
        sure: Any = False
        beyond: Any = -numpy.inf
        for other in plan.points:
            for limit in other.limits:
                sure = sure | ((other is point_plan) & _crossed(limit, values))
                if (other is point_plan or limit.level == "fail") and _weight(plan, other, limit) <= allowed:
                    beyond = numpy.maximum(beyond, _margin_if_crossed(limit, values))
        most = numpy.minimum(most, numpy.where(_all_known(point_plan, values) & sure, beyond, numpy.inf))
    return numpy.asarray(most, float)


def _applies(plan: CheckPlan, values: IntervalValues) -> BoolColumn:
    """Where nothing in the numbers keeps the check from being judged."""
    applies: Any = numpy.ones((), bool)
    for slot, number in plan.above:
        applies = applies & (Interval.of(values[slot]).low > number)
    for outside in plan.outside:
        inside: Any = False
        for slot, number in outside.limits:
            inside = inside | (Interval.of(values[slot]).high <= number)
        applies = applies & inside
    return numpy.asarray(applies, bool)


def _all_known(point_plan: PointPlan, values: IntervalValues) -> BoolColumn:
    """Where a point and all its limits are sure to be numbers."""
    known: Any = Interval.of(values[point_plan.slot]).known
    for limit in point_plan.limits:
        known = known & Interval.of(values[limit.slot]).known & _edge(limit, values).known
    return numpy.asarray(known, bool)


def _edge(limit: Limit, values: IntervalValues) -> Interval:
    return Interval.of(limit.number if limit.limit_slot is None else values[limit.limit_slot])


def _inside(limit: Limit, values: IntervalValues) -> Interval:
    value, edge = Interval.of(values[limit.slot]), _edge(limit, values)
    return edge - value if limit.above else value - edge


def _crossed(limit: Limit, values: IntervalValues) -> BoolColumn:
    edge = _edge(limit, values)
    size = numpy.maximum(numpy.abs(edge.low), numpy.abs(edge.high))
    return _inside(limit, values).high < -(AT_LIMIT + ROOM) * size


def _margin_if_crossed(limit: Limit, values: IntervalValues) -> FloatColumn:
    """The least that a limit can be crossed by, as a margin; less than any where it is sure to be kept."""
    most = 0.0 if limit.yes_or_no else numpy.minimum(_most_margin(limit, values), 0.0)
    return numpy.where(_inside(limit, values).low >= 0, -numpy.inf, most)


def _most_margin(limit: Limit, values: IntervalValues) -> FloatColumn:
    """The largest share of its limit that a value can be inside of it."""
    inside, edge = _inside(limit, values).high, _edge(limit, values)
    sizes = numpy.abs(edge.low), numpy.abs(edge.high)
    size = numpy.where(inside > 0, numpy.minimum(*sizes), numpy.maximum(*sizes))
    with numpy.errstate(all="ignore"):
        share = inside / size
    of_one_sign = (edge.low > 0) | (edge.high < 0)
    return numpy.where(of_one_sign & numpy.isfinite(share), share, numpy.inf)
