"""spec-consistency over columns: the severity alone, by the same comparisons as consistency.py."""

from collections.abc import Iterable
from typing import Any, cast

import numpy

from service.evaluation.judging.consistency import Usual
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.judging.judge_columns import IntColumn
from service.evaluation.known import Known
from service.evaluation.planning.plan import Comparison, Plan
from service.evaluation.running.columns import ColumnValues, FloatColumn
from service.evaluation.running.run import OUTSIDE
from service.rulebook.formulas.graph import RouteNode


def consistency_columns(
    usual: dict[str, Usual], plan: Plan, known: Known, values: ColumnValues, columns: dict[str, FloatColumn]
) -> IntColumn:
    """The severity of spec-consistency for each entry."""
    length = len(next(iter(columns.values())))
    set_aside = max((SEVERITY[contradiction.verdict] for contradiction in plan.set_aside), default=0)
    severity = numpy.full(length, set_aside, int)
    for comparison in plan.comparisons:
        severity = numpy.maximum(severity, _disagreement(comparison, values, length))
    for contradiction, slot in plan.contradictions:
        value = numpy.asarray(values[slot], float)
        above = contradiction.side == "above"
        crossed = value > contradiction.number if above else value < contradiction.number
        severity = numpy.maximum(severity, numpy.where(crossed, SEVERITY[contradiction.verdict], 0))
    for name in {**known.numbers, **columns}:
        if plan.is_petrol_engine and name in usual:
            value = numpy.asarray(columns[name] if name in columns else known.numbers[name], float)
            unusual = (value < usual[name].low) | (value > usual[name].high)
            severity = numpy.maximum(severity, numpy.where(unusual, SEVERITY["warn"], 0))
    return severity


def _disagreement(comparison: Comparison, values: ColumnValues, length: int) -> IntColumn:
    quantity = comparison.node.quantity
    results = numpy.array([_route(route, values, length) for route in comparison.routes])
    usable = numpy.isfinite(results).sum(axis=0) >= 2
    low = numpy.where(numpy.isfinite(results), results, numpy.inf).min(axis=0)
    high = numpy.where(numpy.isfinite(results), results, -numpy.inf).max(axis=0)
    size = numpy.maximum(numpy.abs(low), numpy.abs(high))
    with numpy.errstate(all="ignore"):
        apart = numpy.where(usable, (high - low) / numpy.where(size > 0, size, 1.0), 0.0)
    severity = numpy.where(apart > quantity.agree_within, SEVERITY["warn"], 0)
    if quantity.fail_beyond is not None:
        severity = numpy.where(apart > quantity.fail_beyond, SEVERITY["fail"], severity)
    return severity


def _route(route: RouteNode, values: ColumnValues, length: int) -> FloatColumn:
    arguments = route.fetch(cast(list[float], values))
    with numpy.errstate(all="ignore", divide="raise", over="raise"):
        try:
            return numpy.broadcast_to(numpy.asarray(route.columns(*arguments), float), (length,))
        except OUTSIDE:
            entries = zip(*(numpy.broadcast_to(argument, (length,)) for argument in arguments), strict=True)
            return numpy.array([_entry(route, entry) for entry in entries])


def _entry(route: RouteNode, arguments: Iterable[Any]) -> float:
    try:
        return float(route.call(*(float(argument) for argument in arguments)))
    except OUTSIDE:
        return numpy.nan
