"""From one set of parts that a check refuses to boxes of sets that it refuses: around the set, and as large
as can be shown.

What is shown comes from the verdicts themselves where there are few combinations, and along a line: the parts
of one slot beside those of the set. Where several slots vary together and there are many combinations,
interval arithmetic shows it: the values that each part by itself decides are worked out part by part, their
ends over a side are taken, and what rests on several sides is run on these ends.
"""

from collections.abc import Iterator, Mapping
from math import floor, inf, prod
from typing import NamedTuple

import numpy

from service.advice.block_verdicts import Asked, Verdicts
from service.advice.boxes import Box, Chosen
from service.advice.check_blocks import Block
from service.advice.side_values import Beside, Sides, SideValues
from service.advice.work_left import WorkLeft
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge_columns import BoolColumn, IntColumn
from service.evaluation.running.columns import FloatColumn

# Combinations of a block that are all judged once one of them is refused.
FEW_COMBINATIONS = 2_000
# Of the line of a slot these shares are tried as its side.
SHARES = numpy.concatenate([0.5 ** numpy.arange(5, 12), numpy.arange(1, 17) / 16])


class _Line(NamedTuple):
    """The candidates of a slot that are refused beside the others of a set, the set's own first, then the
    worst; the margin in steps that each reaches, and how many are no better than the set's own.
    """

    refused: IntColumn
    reached: FloatColumn
    no_better: int


class BoxFinder:
    """Finds boxes of one block; what it works out is kept for the next set."""

    def __init__(self, evaluator: Evaluator, block: Block, work: WorkLeft):
        self.evaluator, self.block, self.work = evaluator, block, work
        self.slots = list(block.names)
        self.few = prod(len(block.scope[slot]) for slot in self.slots) <= FEW_COMBINATIONS
        self._all: Verdicts | None = None
        self._values: SideValues | None = None

    def boxes(self, chosen: Chosen, asked: Asked, alive: Mapping[str, BoolColumn]) -> Iterator[Box]:
        """Boxes with this set, which the check refuses; `alive`: the candidates that are not ruled out
        already.
        """
        if self.few:
            for first in self.slots:
                yield self._judged_box(chosen, asked, first)
            return
        if self._values is None:
            self._values = SideValues(self.evaluator, self.block)
        lines = {slot: self._line(chosen, asked, alive, slot) for slot in self.slots}
        for first in self.slots:
            yield self._shown_box(chosen, asked, lines, first)

    def _judged_box(self, chosen: Chosen, asked: Asked, first: str) -> Box:
        """From the verdicts of all combinations: slot by slot, `first` before the others, every candidate
        with which all that is in the box so far is refused.
        """
        if self._all is None:
            self._all = self.block.judged(self.evaluator, self.block.scope)
            self.work.held -= self._all.steps.size
        bad = self._all.bad(asked)
        places = {slot: numpy.flatnonzero(self.block.scope[slot] == chosen[slot]) for slot in self.slots}
        for slot in (first, *(slot for slot in self.slots if slot != first)):
            everywhere = numpy.arange(len(self.block.scope[slot]))
            looked_at = bad[numpy.ix_(*(everywhere if name == slot else places[name] for name in self.slots))]
            others = tuple(axis for axis, name in enumerate(self.slots) if name != slot)
            places[slot] = numpy.flatnonzero(looked_at.all(axis=others))
        reached = self._all.reached(asked.allowed)[numpy.ix_(*(places[slot] for slot in self.slots))]
        sides = {slot: self.block.scope[slot][where] for slot, where in places.items()}
        return self.block.box(sides, _counts_from(reached.max()))

    def _line(self, chosen: Chosen, asked: Asked, alive: Mapping[str, BoolColumn], slot: str) -> _Line:
        scope = self.block.scope[slot]
        positions = scope[alive[slot][scope] | (scope == chosen[slot])]
        beside = {name: numpy.array([chosen[name]]) for name in self.slots} | {slot: positions}
        verdicts = self.block.judged(self.evaluator, beside)
        self.work.held -= len(positions)
        bad, margin = verdicts.bad(asked).ravel(), verdicts.margin.ravel()
        order = numpy.flatnonzero(bad)[numpy.lexsort((margin[bad], positions[bad] != chosen[slot]))]
        no_better = int((margin[order] <= margin[order[0]]).sum())
        return _Line(positions[order], verdicts.reached(asked.allowed).ravel()[order], no_better)

    def _shown_box(self, chosen: Chosen, asked: Asked, lines: dict[str, _Line], first: str) -> Box:
        """One side with all of its line. Of the other slots what is no better than the part of the set, as
        far as intervals show that all of it is refused; else that part alone, and the line is a box by
        itself.
        """
        sides: Sides = {slot: line.refused[: line.no_better] for slot, line in lines.items()}
        sides[first], reached = lines[first].refused, lines[first].reached
        grown = self._grown(sides, asked, lines, first) if self._values and self._values.known else None
        if grown is None:
            alone = {slot: numpy.array([chosen[slot]]) for slot in self.slots}
            return self.block.box(alone | {first: sides[first]}, _counts_from(reached.max()))
        return self.block.box(sides, _counts_from(grown))

    def _grown(self, sides: Sides, asked: Asked, lines: dict[str, _Line], first: str) -> float | None:
        """What the best set inside reaches, once sides have grown slot by slot, for fewer of the first where
        that makes the box larger; None where it cannot be shown that all is refused.
        """
        assert self._values is not None, "lines are looked at"
        reached: float | None = None
        for slot in self.slots:
            line = lines[slot].refused
            if slot == first:
                continue
            counts = numpy.unique(numpy.ceil(len(line) * SHARES).astype(int))
            most = self._values.most(sides, Beside(first, slot, line, counts), asked.allowed)
            shown = numpy.isneginf(most) if asked.least is None else most < asked.least
            # The set itself has to stay inside.
            sizes = shown.sum(axis=0) * counts * shown[0]
            largest = int(sizes.argmax())
            if reached is None and not sizes.any():
                return None
            if reached is None or sizes[largest] > len(sides[first]) * len(sides[slot]):
                kept = shown[:, largest]
                sides[first], sides[slot] = sides[first][kept], line[: counts[largest]]
                reached = float(most[kept, largest].max())
        return reached


def _counts_from(reached: float) -> int | None:
    """The margin asked for from which a box counts whose best set reaches so many steps; None where every set
    in it is worse than allowed.
    """
    return None if reached == -inf else floor(reached) + 1
