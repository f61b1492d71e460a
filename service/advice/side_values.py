"""The values behind a verdict that each slot decides by itself, over its candidates, and what the verdict can
be at most where several slots take any part of a side.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, NamedTuple

import numpy

from service.advice.check_blocks import Block
from service.advice.shared_steps import results
from service.advice.sure_verdicts import most_steps
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge_columns import IntColumn
from service.evaluation.planning.steps import Step
from service.evaluation.running.columns import ColumnValues, FloatColumn, run_columns
from service.evaluation.running.interval_run import looks_into, run_intervals
from service.evaluation.running.intervals import Interval

# Of slots the candidates on a side, as positions.
Sides = dict[str, IntColumn]


class SideValues:
    """`known`: whether intervals pass through every step that brings slots together."""

    def __init__(self, evaluator: Evaluator, block: Block):
        self.block = block
        behind: dict[int, frozenset[str]] = {
            evaluator.slots[name]: frozenset({slot})
            for slot, numbers in block.names.items()
            for name in numbers
        }
        alone: dict[frozenset[str], list[Step]] = {frozenset({slot}): [] for slot in block.names}
        self.together: list[Step] = []
        for step in block.plan.steps:
            slots = frozenset().union(*(behind.get(place, frozenset()) for place in step.arguments))
            behind |= dict.fromkeys(results(step), slots)
            alone.get(slots, self.together).append(step)
        self.known = all(map(looks_into, self.together))
        self.values: dict[str, ColumnValues] = {
            slot: run_columns(
                replace(block.plan, steps=alone[frozenset({slot})]), block.base, evaluator.slots, numbers
            )
            for slot, numbers in block.names.items()
        }
        self.places = {
            slot: [place for place, slots in behind.items() if slots == {slot}] for slot in block.names
        }

    def most(self, sides: Mapping[str, IntColumn], beside: "Beside", allowed: int) -> FloatColumn:
        """For each candidate of one side, and each beginning of the line of another slot, what most_steps()
        says of them with all of the other sides.
        """
        values: list[Any] = list(self.values[beside.slot])
        for name, positions in sides.items():
            for place in self.places[name]:
                column = self.values[name][place]
                if not isinstance(column, numpy.ndarray):
                    values[place] = column
                elif name == beside.one_by_one:
                    values[place] = Interval.of(column[positions][:, None])
                elif name == beside.slot:
                    values[place] = _stretches(column[beside.line], beside.counts)
                else:
                    values[place] = _ends(column[positions])
        run_intervals(self.together, values)
        shape = (len(sides[beside.one_by_one]), len(beside.counts))
        # What holds on every stretch of a line holds on its beginning, and ends of a stretch lie closer
        # together.
        most = numpy.broadcast_to(most_steps(self.block.check_plan, values, allowed), shape)
        return numpy.maximum.accumulate(most, axis=1)


class Beside(NamedTuple):
    """The slot whose side is looked at candidate by candidate; the line of another, its beginnings by their
    counts, all of it last.
    """

    one_by_one: str
    slot: str
    line: IntColumn
    counts: IntColumn


def _ends(column: FloatColumn) -> Interval:
    return Interval(column.min(), column.max())


def _stretches(column: FloatColumn, counts: IntColumn) -> Interval:
    """The ends over the entries between one count and the next."""
    starts = numpy.append(0, counts[:-1])
    return Interval(numpy.minimum.reduceat(column, starts), numpy.maximum.reduceat(column, starts))
