"""How far a limit moves under what was assumed: solved again at the ends of each assumption."""

from typing import NamedTuple

from service.advice.moved_input import WAYS, MovedInput, Stop
from service.evaluation.judging.combination import combined
from service.evaluation.planning.resolve import Lean

# An assumption that moves a limit by less than this part of the whole does not decide it (house choice).
PART_THAT_DECIDES = 0.25


class Shift(NamedTuple):
    """The rungs of a limit with one assumption at its low and at its high end."""

    lean: Lean
    low: int
    high: int

    @property
    def width(self) -> int:
        return abs(self.high - self.low)


class LimitRange(NamedTuple):
    """Between which rungs a limit may well lie, and the assumption that moves it most."""

    low: int
    high: int
    decided_by: Shift | None


def limit_range(moved: MovedInput, stop: Stop, way: str, allowed: str) -> LimitRange:
    """The range of one limit; the assumptions that cannot reach the check that stops it are left out."""
    shifts = []
    for lean in moved.trial.plan.leans:
        name = f"assumed__{lean.id}"
        if not lean.ends or not moved.trial.reaches(name, stop.cause.check):
            continue
        # What stops the input from the other side is no part of this limit.
        ends = [_rung(moved.by(stop.cause.check), stop, way, allowed, {name: end}) for end in _both(lean)]
        shift = Shift(lean, *ends)
        if shift.width:
            shifts.append(shift)
    low, high, *_ = combined(stop.rung, [(shift.low, shift.high) for shift in shifts])
    most = max(shifts, key=lambda shift: shift.width, default=None)
    if most and most.width < PART_THAT_DECIDES * (high - low):
        most = None
    return LimitRange(round(low), round(high), most)


def _both(lean: Lean) -> tuple[float, float]:
    return lean.certain_row.low, lean.certain_row.high


def _rung(moved: MovedInput, stop: Stop, way: str, allowed: str, assumed: dict[str, float]) -> int:
    """The same limit with one assumption at an end; the end of the ladder where nothing does or all does."""
    ladder = moved.ladder
    near, far = (ladder.lowest, ladder.highest) if WAYS[way] > 0 else (ladder.highest, ladder.lowest)
    if moved.stopped_by(stop.rung, allowed, assumed) is None:
        solved = moved.stop(stop.rung, way, allowed, assumed)
        return far if solved is None else solved.rung
    # Back to where it will do.
    back = moved.nearest_back(stop.rung, near, allowed, assumed)
    return near if back is None else back
