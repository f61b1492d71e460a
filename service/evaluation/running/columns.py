"""Runs a plan over numpy columns: the same formulas as run.py; what does not vary is worked out once, as
floats.
"""

from collections.abc import Iterable
from math import isfinite, nan
from typing import Any, cast

import numpy
from numpy.typing import NDArray

from service.evaluation.known import Known
from service.evaluation.planning.plan import Plan
from service.evaluation.planning.steps import Row, Step
from service.evaluation.running.run import OUTSIDE

FloatColumn = NDArray[numpy.float64]
# By slot: one number for all entries, or a number for each. As in run.py, a curve may stand there unread.
ColumnValues = list[float | FloatColumn]
# Entries of one call of a function: the arrays inside an integral are many times larger and should stay in
# the cache.
BLOCK = 256
# The C library takes fresh pages for every array past 128 KiB, which costs an integral more than its
# arithmetic, until a larger one has been given back once (mallopt(3), M_MMAP_THRESHOLD).
KEEP_ARRAYS_UNDER = 16 * 2**20
numpy.empty(KEEP_ARRAYS_UNDER // 8)


def run_columns(
    plan: Plan, known: Known, slots: dict[str, int], columns: dict[str, FloatColumn]
) -> ColumnValues:
    """All values by slot; a column where something behind it is one. Not finite is not a number, entry by
    entry.
    """
    values: ColumnValues = list(plan.template)
    # As in run.py, no arithmetic touches a curve.
    given: dict[str, Any] = {**known.numbers, **known.curves, **columns}
    for name, value in given.items():
        values[slots[name]] = value
    length = len(next(iter(columns.values())))
    with numpy.errstate(all="ignore"):
        for step in plan.steps:
            if step.rows:
                for row in step.rows:
                    _fill_row(step, row, values, length)
            else:
                values[step.slot] = _formula(step, values, length)
    return values


def _formula(step: Step, values: ColumnValues, length: int) -> float | FloatColumn:
    arguments = step.fetch(cast(list[float], values))
    known: Any = True
    for argument in arguments:
        # As in a run over floats: what depends on a missing value is missing, even if where() would not look
        # at it.
        if isinstance(argument, (int, float, numpy.ndarray)):
            known = known & numpy.isfinite(argument)
    if not any(isinstance(argument, numpy.ndarray) for argument in arguments):
        return _entry(step, arguments) if known else nan
    try:
        # A division by zero or an overflow on the way makes a value that floats refuse, even where its end is
        # finite.
        with numpy.errstate(divide="raise", over="raise"):
            result = numpy.asarray(step.route.columns(*arguments), float)
    except OUTSIDE:
        # One entry outside the domain refuses the whole column, and a map is read entry by entry anyway.
        columns = [
            argument.tolist() if isinstance(argument, numpy.ndarray) else [argument] * length
            for argument in arguments
        ]
        result = numpy.array([_entry(step, entry) for entry in zip(*columns, strict=True)])
    return numpy.where(known & numpy.isfinite(result), result, nan)


def _entry(step: Step, arguments: Iterable[Any]) -> float:
    try:
        result: float = step.call(*arguments)
    except OUTSIDE:
        return nan
    return result if isfinite(result) else nan


def _fill_row(step: Step, row: Row, values: ColumnValues, length: int) -> None:
    """The results of one row of a function step, block by block, for the entries whose arguments are all
    known.
    """
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
        pieces = [column[block] if len(column) > 1 else column for column in columns]
        for result, filled in zip(results, _results(step, pieces, len(results), len(block)), strict=True):
            result[block] = filled
    for slot, result in zip(row.slots, results, strict=True):
        if slot >= 0:
            values[slot] = result if varies else float(result[0])


def _results(step: Step, columns: list[FloatColumn], count: int, length: int) -> Iterable[Any]:
    """Every result of a function step; one entry outside the domain refuses them all, so they are asked one
    by one.
    """
    try:
        return cast(Iterable[Any], step.route.columns(*columns))
    except OUTSIDE:
        if length == 1:
            return [nan] * count
        entries = (
            _results(step, [column[[entry]] if len(column) > 1 else column for column in columns], count, 1)
            for entry in range(length)
        )
        return [
            numpy.concatenate([numpy.ravel(part) for part in parts]) for parts in zip(*entries, strict=True)
        ]
