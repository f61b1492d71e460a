"""Runs steps over intervals: the same formulas as columns.py."""

from collections.abc import Iterable
from typing import Any, cast

import numpy

from service.evaluation.planning.steps import Step
from service.evaluation.running.intervals import BASIC, Interval

# By slot: one number, or a column of intervals.
IntervalValues = list[Any]


def run_intervals(steps: Iterable[Step], values: IntervalValues) -> None:
    """Fills the results of the steps, which read some interval each.

    What comes from a function that is not looked into is unknown, and so is what rests on anything unknown,
    as in a run over numbers.
    """
    for step in steps:
        if step.rows:
            for slot in (slot for row in step.rows for slot in row.slots if slot >= 0):
                values[slot] = Interval.unknown()
        else:
            values[step.slot] = _formula(step, values)


def looks_into(step: Step) -> bool:
    """Whether intervals pass through a step; a function that is no formula is not looked into."""
    if step.rows:
        return False
    route = step.route.route
    formulas = (route.formula, *(validity.ratio for validity in route.valid))
    return all(formula.functions <= BASIC for formula in formulas)


def _formula(step: Step, values: IntervalValues) -> Interval:
    if not looks_into(step):
        return Interval.unknown()
    arguments = step.fetch(cast(list[float], values))
    known: Any = True
    for argument in arguments:
        known = known & (argument.known if isinstance(argument, Interval) else numpy.isfinite(argument))
    with numpy.errstate(all="ignore"):
        return Interval.of(step.route.columns(*arguments)).where_known(known)
