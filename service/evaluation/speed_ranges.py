"""How far columns over speed may lie from what they show: each assumption at its ends, combined."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy

from service.evaluation.judging.combination import combined
from service.evaluation.known import Known
from service.evaluation.planning.lean import Lean
from service.evaluation.planning.plan import Plan
from service.evaluation.running.columns import FloatColumn, run_columns


@dataclass(frozen=True, slots=True)
class Mover:
    """A name that may lie between two ends: an assumption, or a number given with a tolerance."""

    name: str
    typical: float
    ends: tuple[float, float]


@dataclass(frozen=True, slots=True)
class ColumnRange:
    """From where to where a column may lie, entry by entry."""

    low: FloatColumn
    high: FloatColumn


def movers(leans: Iterable[Lean], known: Known) -> list[Mover]:
    """What can move: assumptions with two ends, then numbers with a tolerance."""
    return [
        *(
            Mover(f"assumed__{lean.id}", lean.row.typical, (lean.row.low, lean.row.high))
            for lean in leans
            if lean.row and lean.row.low < lean.row.high
        ),
        *(
            Mover(name, known.numbers[name], ends)
            for name, ends in sorted(known.tolerances.items())
            if name in known.numbers
        ),
    ]


@dataclass(frozen=True, slots=True)
class CurveRun:
    """One build over a column of speeds."""

    plan: Plan
    known: Known
    slots: dict[str, int]
    speed_name: str
    speeds: FloatColumn

    def ranges(self, names: Iterable[str], moving: list[Mover]) -> dict[str, ColumnRange]:
        """The ranges of some names; all movers in one run, one block of speeds after the other."""
        length, blocks = len(self.speeds), 1 + 2 * len(moving)
        columns = {self.speed_name: numpy.tile(self.speeds, blocks)}
        for position, mover in enumerate(moving):
            moved = numpy.full(length * blocks, mover.typical)
            for end, value in enumerate(mover.ends):
                start = (1 + 2 * position + end) * length
                moved[start : start + length] = value
            columns[mover.name] = moved
        values = run_columns(self.plan, self.known, self.slots, columns)
        return {name: _range(values[self.slots[name]], length, blocks) for name in names}


def _range(values: float | FloatColumn, length: int, blocks: int) -> ColumnRange:
    """The first block is the build itself, then low and high end of each mover in turn."""
    by_block = numpy.broadcast_to(values, (length * blocks,)).reshape(blocks, length)
    ends = [_combined(by_block[:, entry]) for entry in range(length)]
    return ColumnRange(numpy.array([low for low, _ in ends]), numpy.array([high for _, high in ends]))


def _combined(entry: FloatColumn) -> tuple[float, float]:
    value = float(entry[0])
    # An end that cannot be worked out moves nothing.
    moved = numpy.where(numpy.isnan(entry), value, entry).tolist()
    low, high, *_ = combined(value, zip(moved[1::2], moved[2::2], strict=True))
    return low, high
