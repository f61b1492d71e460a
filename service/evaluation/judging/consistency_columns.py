"""spec-consistency over columns: the severity alone, by the same comparisons as consistency.py."""

import numpy

from service.evaluation.judging.consistency import Usual
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known
from service.evaluation.planning.plan import Comparison, Plan
from service.evaluation.running.run import OUTSIDE


def consistency_columns(
    usual: dict[str, Usual],
    plan: Plan,
    known: Known,
    values: list,
    columns: dict[str, numpy.ndarray],
    length: int,
) -> numpy.ndarray:
    """The severity of spec-consistency for each entry."""
    severity = numpy.zeros(length, int)
    for comparison in plan.comparisons:
        severity = numpy.maximum(severity, _disagreement(comparison, values, length))
    for one, slot in plan.contradictions:
        value = numpy.asarray(values[slot], float)
        crossed = value > one.number if one.side == "above" else value < one.number
        severity = numpy.maximum(severity, numpy.where(crossed, SEVERITY[one.verdict], 0))
    for name in {**known.numbers, **columns}:
        if name in usual:
            value = numpy.asarray(columns[name] if name in columns else known.numbers[name], float)
            severity = numpy.maximum(
                severity,
                numpy.where((value < usual[name].low) | (value > usual[name].high), SEVERITY["warn"], 0),
            )
    return severity


def _disagreement(comparison: Comparison, values: list, length: int) -> numpy.ndarray:
    quantity = comparison.node.quantity
    found = numpy.array([_route(route, values, length) for route in comparison.routes])
    usable = numpy.isfinite(found).sum(axis=0) >= 2
    low = numpy.where(numpy.isfinite(found), found, numpy.inf).min(axis=0)
    high = numpy.where(numpy.isfinite(found), found, -numpy.inf).max(axis=0)
    size = numpy.maximum(numpy.abs(low), numpy.abs(high))
    with numpy.errstate(all="ignore"):
        spread = numpy.where(usable, (high - low) / numpy.where(size > 0, size, 1.0), 0.0)
    severity = numpy.where(spread > quantity.agree_within, SEVERITY["warn"], 0)
    if quantity.fail_beyond is not None:
        severity = numpy.where(spread > quantity.fail_beyond, SEVERITY["fail"], severity)
    return severity


def _route(route, values: list, length: int) -> numpy.ndarray:
    arguments = route.fetch(values)
    with numpy.errstate(all="ignore", divide="raise", over="raise"):
        try:
            return numpy.broadcast_to(numpy.asarray(route.columns(*arguments), float), (length,))
        except OUTSIDE:
            entries = zip(*(numpy.broadcast_to(argument, (length,)) for argument in arguments))
            return numpy.array([_entry(route, entry) for entry in entries])


def _entry(route, arguments) -> float:
    try:
        return route.call(*(float(argument) for argument in arguments))
    except OUTSIDE:
        return numpy.nan
