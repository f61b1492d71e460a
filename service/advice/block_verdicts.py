"""Of some combinations of parts how bad one check is, and how much margin it leaves."""

from dataclasses import dataclass
from math import prod

import numpy

from service.evaluation.judging.judge_columns import BoolColumn, CheckColumns, IntColumn
from service.evaluation.running.columns import FloatColumn

# Margins are shares of a limit, counted in ten-thousandths, and no further than this.
MARGIN_STEPS, MOST_MARGIN = 10_000, 5.0


@dataclass(frozen=True, slots=True)
class Asked:
    """The worst severity allowed, and the least margin in steps where one is asked for."""

    allowed: int
    least: int | None = None


@dataclass(slots=True)
class Verdicts:
    """Of some combinations of parts how bad a check is, its margin, and the same in steps."""

    severity: IntColumn
    margin: FloatColumn
    steps: IntColumn

    @classmethod
    def of(cls, columns: CheckColumns, shape: tuple[int, ...]) -> "Verdicts":
        """A check that could not be judged has all the room there is; a limit at zero leaves none."""
        severity = numpy.broadcast_to(columns.severity, (prod(shape),)).reshape(shape)
        margins = numpy.broadcast_to(columns.margin, (prod(shape),)).reshape(shape)
        margin = numpy.where(severity >= 0, numpy.nan_to_num(margins, nan=0.0), numpy.inf)
        return cls(severity, margin, margin_steps(margin))

    def bad(self, asked: Asked) -> BoolColumn:
        """Which are worse than allowed, or have less margin than is asked for."""
        worse = self.severity > asked.allowed
        return worse if asked.least is None else worse | (self.steps < asked.least)

    def reached(self, allowed: int) -> FloatColumn:
        """The margins in steps; less than any where a check is worse than allowed."""
        return numpy.where(self.severity > allowed, -numpy.inf, self.steps)


def margin_steps(margin: FloatColumn) -> IntColumn:
    """Margins in whole steps."""
    steps = numpy.clip(numpy.floor(margin * MARGIN_STEPS), -MARGIN_STEPS, MOST_MARGIN * MARGIN_STEPS)
    kept: IntColumn = steps.astype(int)
    return kept
