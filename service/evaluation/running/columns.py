"""Runs a plan over numpy columns: the same formulas as run.py; what does not vary is worked out once, as floats."""

from collections.abc import Iterable
from math import isfinite, nan

import numpy

from service.evaluation.known import Known
from service.evaluation.planning.plan import Plan
from service.evaluation.planning.steps import Row, Step
from service.evaluation.running.run import OUTSIDE

Value = float | numpy.ndarray
# Entries of one call of a function: the arrays inside an integral are many times larger and should stay in the cache.
BLOCK = 256
# The C library takes fresh pages for every array past 128 KiB, which costs an integral more than its arithmetic, until a larger
# one has been given back once (mallopt(3), M_MMAP_THRESHOLD).
KEEP_ARRAYS_UNDER = 16 * 2**20
numpy.empty(KEEP_ARRAYS_UNDER // 8)


def run_columns(plan: Plan, known: Known, slots: dict[str, int], columns: dict[str, numpy.ndarray]) -> list:
    """All values by slot; a column where something it hangs on is one. Not finite is not a number, entry by entry."""
    values = plan.template.copy()
    for given in (known.numbers, known.curves, columns):
        for name, value in given.items():
            values[slots[name]] = value
    length = len(next(iter(columns.values())))
    with numpy.errstate(all="ignore"):
        for step in plan.steps:
            if step.rows:
                for row in step.rows:
                    _function(step, row, values, length)
            else:
                values[step.slot] = _formula(step, values, length)
    return values


def _formula(step: Step, values: list, length: int) -> Value:
    arguments = step.fetch(values)
    known = True
    for argument in arguments:
        # As in a run over floats: what hangs on a missing value is missing, even if where() would not look at it.
        if isinstance(argument, (int, float, numpy.ndarray)):
            known = known & numpy.isfinite(argument)
    if not any(isinstance(argument, numpy.ndarray) for argument in arguments):
        return _entry(step, arguments) if known else nan
    try:
        # A division by zero or an overflow on the way makes a value that floats refuse, even where the end of it is finite.
        with numpy.errstate(divide="raise", over="raise"):
            result = numpy.asarray(step.route.columns(*arguments), float)
    except OUTSIDE:
        # One entry outside the domain refuses the whole column, and a map is read entry by entry anyway.
        columns = [
            argument.tolist() if isinstance(argument, numpy.ndarray) else [argument] * length
            for argument in arguments
        ]
        result = numpy.array([_entry(step, entry) for entry in zip(*columns)])
    return numpy.where(known & numpy.isfinite(result), result, nan)


def _entry(step: Step, arguments: Iterable) -> float:
    try:
        result = step.call(*arguments)
    except OUTSIDE:
        return nan
    return result if isfinite(result) else nan


def _function(step: Step, row: Row, values: list, length: int) -> None:
    arguments = [values[slot] for slot in row.arguments]
    # A column of one entry stands for what does not vary: the function works its share out once.
    columns = [numpy.atleast_1d(numpy.asarray(argument, float)) for argument in arguments]
    varies = any(isinstance(argument, numpy.ndarray) for argument in arguments)
    usable = numpy.ones(length if varies else 1, bool)
    for column in columns:
        usable &= numpy.isfinite(column)
    results = [numpy.full(len(usable), nan) for _ in row.slots]
    entries = numpy.flatnonzero(usable)
    for start in range(0, len(entries), BLOCK):
        block = entries[start : start + BLOCK]
        for result, filled in zip(
            results,
            _results(
                step,
                [column[block] if len(column) > 1 else column for column in columns],
                len(results),
                len(block),
            ),
        ):
            result[block] = filled
    for slot, result in zip(row.slots, results):
        if slot >= 0:
            values[slot] = result if varies else float(result[0])


def _results(step: Step, columns: list[numpy.ndarray], count: int, length: int) -> Iterable:
    """Every result of a function step; one entry outside the domain refuses them all, so they are then asked one by one."""
    try:
        return step.route.columns(*columns)
    except OUTSIDE:
        if length == 1:
            return [nan] * count
        entries = (
            _results(step, [column[[entry]] if len(column) > 1 else column for column in columns], count, 1)
            for entry in range(length)
        )
        return [numpy.concatenate([numpy.ravel(part) for part in parts]) for parts in zip(*entries)]
