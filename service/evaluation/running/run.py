"""Runs a plan over floats. A step that is not finite makes what depends on it unknown, and is named."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from math import isfinite, nan
from typing import Any, NamedTuple

import numpy

from service.evaluation.known import Known
from service.evaluation.planning.plan import Plan
from service.evaluation.planning.steps import Row, Step

# By slot. Curves and maps stand in the list as well, where only the functions of a formula look into them.
Values = list[float]
# For each slot that could not be worked out, the slot of the step that failed first.
Failed = dict[int, int]
# What arithmetic outside its domain raises: division by zero, a root of a negative number, overflow.
OUTSIDE = (ZeroDivisionError, ValueError, OverflowError, FloatingPointError)
# An integral costs more than all formulas together; this many engines are remembered, the least recently used
# goes.
CYCLES_KEPT = 1024


class Figures(NamedTuple):
    """The values of a run, and what failed in it."""

    values: Values
    failed: Failed


@dataclass(frozen=True, slots=True)
class Run:
    """One build run through a plan."""

    plan: Plan
    known: Known
    figures: Figures

    @property
    def values(self) -> Values:
        return self.figures.values

    @property
    def failed(self) -> Failed:
        return self.figures.failed


class Job(NamedTuple):
    """A row of a function step, and the figures it reads and fills."""

    row: Row
    values: Values
    failed: Failed


def run_plan(plan: Plan, known: Known, slots: dict[str, int]) -> Run:
    """Every value the plan works out for one build."""
    values = plan.template.copy()
    for name, value in known.numbers.items():
        values[slots[name]] = value
    for name, curve in known.curves.items():
        values[slots[name]] = curve  # type: ignore[call-overload]  # no arithmetic touches it, see Values
    failed: Failed = {}
    run_steps(plan.steps, values, failed)
    return Run(plan, known, Figures(values, failed))


def run_steps(steps: list[Step], values: Values, failed: Failed) -> None:
    """Steps in their order, each reading and filling the list of values."""
    for step in steps:
        if step.source >= 0:
            values[step.slot] = values[step.source]
            if step.source in failed:
                failed[step.slot] = failed[step.source]
            continue
        if step.rows:
            _run_function(step, values, failed)
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


def fill_together(step: Step, jobs: Iterable[Job]) -> None:
    """One call for rows that may stand in different lists of values; each row reads and fills its own."""
    ready: list[Job] = []
    for job in jobs:
        row, values, failed = job
        if failed and not failed.keys().isdisjoint(row.arguments):
            _inherit(row.arguments, row.slots, values, failed)
        else:
            ready.append(job)
    if not ready:
        return
    arguments = tuple([tuple([values[slot] for slot in row.arguments]) for row, values, _ in ready])
    count = len(ready[0].row.slots)
    for (row, values, failed), results in zip(
        ready, _results_together(step.call, arguments, count), strict=True
    ):
        _fill(row, results, values, failed)


def _run_function(step: Step, values: Values, failed: Failed) -> None:
    """Fill the results of a function step, at one point or at all points in one call."""
    if step.together:
        fill_together(step, [Job(row, values, failed) for row in step.rows])
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


@lru_cache(maxsize=CYCLES_KEPT)
def _results_together(
    call: Callable[..., Any], rows: tuple[tuple[float, ...], ...], results: int
) -> tuple[tuple[float, ...], ...]:
    """The results of each row from one call; an engine whose other parts change keeps its cycle."""
    columns = numpy.array(rows, float).T
    try:
        # Outside its domain a function gives not a number; that is found below, and is no warning.
        with numpy.errstate(all="ignore"):
            filled = [numpy.broadcast_to(result, (len(rows),)).tolist() for result in call(*columns)]
        return tuple(zip(*filled, strict=True))
    except OUTSIDE:
        return ((nan,) * results,) * len(rows)


def _inherit(arguments: Iterable[int], slots: Iterable[int], values: Values, failed: Failed) -> None:
    """A value depends on one that failed: name the first that did."""
    first = min(failed[slot] for slot in arguments if slot in failed)
    for slot in slots:
        if slot >= 0:
            values[slot] = nan
            failed[slot] = first


def _fill(row: Row, results: Iterable[float], values: Values, failed: Failed) -> None:
    for slot, value in zip(row.slots, results, strict=True):
        if slot >= 0:
            values[slot] = float(value)
            if not isfinite(value):
                failed[slot] = slot
