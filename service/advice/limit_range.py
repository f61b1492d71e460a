"""How far a limit moves under what was assumed and within the tolerances given: solved again at the ends of
each.
"""

from typing import NamedTuple

from service.advice.moved_input import WAYS, MovedInput, Stop
from service.advice.trial import Trial
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.combination import combined
from service.evaluation.known import Known
from service.evaluation.planning.lean import Lean
from service.rulebook.input import UNKNOWN

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


class Alternative(NamedTuple):
    """Where the limit would lie with a choice made that nobody has made."""

    choice: str
    word: str
    rung: int


class LimitRange(NamedTuple):
    """Between which rungs a limit may well lie, the assumption that moves it most and, where that goes by a
    choice not made, the word of it that makes the largest difference.
    """

    low: int
    high: int
    decided_by: Shift | None
    otherwise: Alternative | None = None


def limit_range(moved: MovedInput, stop: Stop, way: str, allowed: str) -> LimitRange:
    """The range of one limit; what cannot reach the check that stops it is left out."""
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
    given = _within_tolerances(moved, stop, way, allowed)
    low, high, *_ = combined(stop.rung, [*((shift.low, shift.high) for shift in shifts), *given])
    most = max(shifts, key=lambda shift: shift.width, default=None)
    widest_given = max((abs(end - other) for end, other in given), default=0)
    if most and most.width < max(PART_THAT_DECIDES * (high - low), widest_given):
        most = None
    otherwise = _otherwise(moved, stop, way, allowed, most.lean) if most else None
    return LimitRange(round(low), round(high), most, otherwise)


def _within_tolerances(moved: MovedInput, stop: Stop, way: str, allowed: str) -> list[tuple[int, int]]:
    """The limit with each number that was given with a tolerance at its low and at its high end."""
    check = stop.cause.check
    alone = moved.by(check)
    return [
        (
            _rung(alone, stop, way, allowed, {name: low}),
            _rung(alone, stop, way, allowed, {name: high}),
        )
        for name, (low, high) in sorted(moved.trial.base.known.tolerances.items())
        if moved.trial.reaches(name, check)
    ]


def _otherwise(moved: MovedInput, stop: Stop, way: str, allowed: str, lean: Lean) -> Alternative | None:
    """The limit solved again with each word that the assumption has a row for."""
    trial, check = moved.trial, stop.cause.check
    known = trial.base.known
    place = {moved.ladder.name: moved.ladder.value(moved.ladder.highest)}
    found: list[Alternative] = []
    for choice, word in _words_open(trial.evaluator, known, lean):
        if _contradicts(trial.evaluator, choice, word, moved.ladder.input.path):
            continue
        other = Trial(trial.evaluator, known.with_choice(choice, word), (check,), place)
        alone = MovedInput(other, moved.ladder, frozenset({check}))
        start = alone.start(allowed)
        end = alone.stop(start, way, allowed) if start is not None else None
        if end and end.rung != stop.rung:
            found.append(Alternative(choice, word, end.rung))
    return max(found, key=lambda alternative: abs(alternative.rung - stop.rung), default=None)


def _words_open(evaluator: Evaluator, known: Known, lean: Lean) -> list[tuple[str, str]]:
    """The first choice not made that an assumption goes by, with each word it has a row for."""
    assumption = evaluator.rulebook.assumptions[lean.id]
    for position, choice in enumerate(assumption.by):
        if choice in evaluator.rulebook.inputs and choice not in known.choices and not lean.stated:
            words = dict.fromkeys(row.pattern[position] for row in assumption.rows)
            return [(choice, word) for word in words if word not in ("*", UNKNOWN)]
    return []


def _contradicts(evaluator: Evaluator, choice: str, word: str, path: str) -> bool:
    """Whether a word of a choice and a value of an input cannot both be true: no boost, and a boost."""
    return any(
        contradiction.sets_aside == choice
        and word in contradiction.when.get(choice, ())
        and path in evaluator.dependence.behind(contradiction.quantity)
        for check in evaluator.rulebook.checks.values()
        for contradiction in check.contradictions
    )


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
