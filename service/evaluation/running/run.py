"""Runs a plan over floats. A step that is not finite makes what hangs on it unknown, and is named."""

from collections.abc import Callable
from functools import lru_cache
from math import isfinite, nan

import numpy

from service.evaluation.known import Known
from service.evaluation.planning.plan import Plan
from service.evaluation.planning.steps import Row, Step

# What arithmetic outside its domain raises: division by zero, a root of a negative number, overflow.
OUTSIDE = (ZeroDivisionError, ValueError, OverflowError, FloatingPointError)


# An integral costs more than all formulas together; this many engines are remembered, and the least recently used goes.
CYCLES_KEPT = 1024


def run(plan: Plan, known: Known, slots: dict[str, int]) -> tuple[list, dict[int, int]]:
    """All values by slot, and for each slot that could not be worked out the slot of the step that failed first."""
    values = plan.template.copy()
    for name, value in known.numbers.items():
        values[slots[name]] = value
    for name, curve in known.curves.items():
        values[slots[name]] = curve
    failed: dict[int, int] = {}
    run_steps(plan.steps, values, failed)
    return values, failed


def run_steps(steps: list[Step], values: list, failed: dict[int, int]) -> None:
    """Steps in their order, each reading and filling the list of values."""
    for step in steps:
        if step.source >= 0:
            values[step.slot] = values[step.source]
            if step.source in failed:
                failed[step.slot] = failed[step.source]
            continue
        if step.rows:
            _function(step, values, failed)
            continue
        if failed and not failed.keys().isdisjoint(step.arguments):
            _inherit(step.arguments, (step.slot,), values, failed)
            continue
        try:
            value = step.call(*step.fetch(values))
        except OUTSIDE:
            value = nan
        if isfinite(value):
            values[step.slot] = value
        else:
            values[step.slot] = nan
            failed[step.slot] = step.slot


def _inherit(arguments, slots, values: list, failed: dict[int, int]) -> None:
    """A value hangs on one that failed: name the first that did."""
    first = min(failed[slot] for slot in arguments if slot in failed)
    for slot in slots:
        if slot >= 0:
            values[slot] = nan
            failed[slot] = first


@lru_cache(maxsize=CYCLES_KEPT)
def _together(
    call: Callable, rows: tuple[tuple[float, ...], ...], results: int
) -> tuple[tuple[float, ...], ...]:
    """The results of each row from one call with columns. An engine whose other parts change keeps its cycle."""
    columns = numpy.array(rows, float).T
    try:
        # Outside its domain a function gives not a number; that is found below, and is no warning.
        with numpy.errstate(all="ignore"):
            return tuple(
                zip(*(numpy.broadcast_to(result, (len(rows),)).tolist() for result in call(*columns)))
            )
    except OUTSIDE:
        return ((nan,) * results,) * len(rows)


def _function(step: Step, values: list, failed: dict[int, int]) -> None:
    """Fill the results of a function step, at one point or at all points in one call."""
    if step.together:
        fill_together(step, [(row, values, failed) for row in step.rows])
        return
    for row in step.rows:
        if failed and not failed.keys().isdisjoint(row.arguments):
            _inherit(row.arguments, row.slots, values, failed)
            continue
        try:
            with numpy.errstate(all="ignore"):
                results = step.call(*step.fetch(values))
        except OUTSIDE:
            results = (nan,) * len(row.slots)
        _fill(row, results, values, failed)


def fill_together(step: Step, jobs: list[tuple[Row, list, dict[int, int]]]) -> None:
    """One call for rows that may stand in different lists of values; each row reads and fills its own."""
    ready = []
    for row, values, failed in jobs:
        if failed and not failed.keys().isdisjoint(row.arguments):
            _inherit(row.arguments, row.slots, values, failed)
        else:
            ready.append((row, values, failed))
    if not ready:
        return
    arguments = tuple([tuple([values[slot] for slot in row.arguments]) for row, values, _ in ready])
    for (row, values, failed), results in zip(ready, _together(step.call, arguments, len(ready[0][0].slots))):
        _fill(row, results, values, failed)


def _fill(row: Row, results: tuple, values: list, failed: dict[int, int]) -> None:
    for slot, value in zip(row.slots, results):
        if slot >= 0:
            values[slot] = float(value)
            if not isfinite(value):
                failed[slot] = slot
