"""Runs a plan over numpy columns: the same formulas as run.py; what does not vary is worked out once, as floats."""

from math import isfinite, nan

import numpy

from service.evaluation.known import Known
from service.evaluation.plan import Plan
from service.evaluation.run import OUTSIDE
from service.evaluation.steps import Row, Step

Value = float | numpy.ndarray


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
                values[step.slot] = _formula(step, values)
    return values


def _formula(step: Step, values: list) -> Value:
    arguments = step.fetch(values)
    if any(isinstance(argument, numpy.ndarray) for argument in arguments):
        result = numpy.asarray(step.route.columns(*arguments), float)
        return numpy.where(numpy.isfinite(result), result, nan) if result.ndim else float(result)
    try:
        result = step.call(*arguments)
    except OUTSIDE:
        return nan
    return result if isfinite(result) else nan


def _function(step: Step, row: Row, values: list, length: int) -> None:
    arguments = [values[slot] for slot in row.arguments]
    varies = any(isinstance(argument, numpy.ndarray) for argument in arguments)
    columns = [numpy.broadcast_to(numpy.asarray(argument, float), (length,)) if varies else numpy.array([argument], float) for argument in arguments]
    # A row outside the function's domain would refuse them all; it is taken out and comes back as not a number.
    usable = numpy.all([numpy.isfinite(column) for column in columns], axis=0)
    results = [numpy.full(len(usable), nan) for _ in row.slots]
    if usable.any():
        try:
            for result, filled in zip(results, step.route.columns(*(column[usable] for column in columns))):
                result[usable] = filled
        except OUTSIDE:
            results = [numpy.full(len(usable), nan) for _ in row.slots]
    for slot, result in zip(row.slots, results):
        if slot >= 0:
            values[slot] = result if varies else float(result[0])
