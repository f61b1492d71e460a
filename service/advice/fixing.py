"""Levers moved until a check passes: one by itself, or several by the same part of their room."""

from collections.abc import Iterable

from service.advice.levers import Lever, Move, Moves, values_of
from service.advice.search import in_window, nearest
from service.advice.trial import Trial
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known

# Several levers are moved together, each by the same part of its room.
PARTS_OF_ROOM = 32
NOT_JUDGED = 3
NO_MOVES: Moves = ()


class Fixing:
    """One build, and the checks its levers are tried on."""

    def __init__(self, evaluator: Evaluator, known: Known):
        self.evaluator = evaluator
        self.known = known

    def single(self, check: str, lever: Lever, allowed: str = "pass", moved: Moves = NO_MOVES) -> Move | None:
        """The nearest rung of a lever at which a check is no worse than allowed; `moved`: what is changed
        already, this lever perhaps among it.
        """
        ladder = lever.ladder
        first, last = ladder.rungs(lever.way)
        others = {move.ladder.name: move.value for move in moved if move.lever.key != lever.key}
        before = next((move.rung for move in moved if move.lever.key == lever.key), None)
        if before is not None:
            if before == last:
                return None
            first = before + (1 if lever.way == "up" else -1)
        trial = Trial(self.evaluator, self.known, (check,), {**others, ladder.name: ladder.value(last)})

        seen: dict[int, int] = {}

        def will_do(rung: int) -> bool:
            seen[rung] = _badness(trial, check, {**others, ladder.name: ladder.value(rung)})
            return seen[rung] <= SEVERITY[allowed]

        rung = nearest(first, last, will_do)
        if rung is None:
            rung = in_window(dict(seen), will_do)
        return None if rung is None else Move(lever, rung)

    def together(
        self, check: str, levers: Iterable[Lever], allowed: str = "pass", moved: Moves = NO_MOVES
    ) -> Moves | None:
        """The least common part of their rooms at which a check is no worse than allowed."""
        levers = tuple(levers)
        start = values_of(moved)
        ends = start | values_of(tuple(_moved_by_part(lever, PARTS_OF_ROOM) for lever in levers))
        trial = Trial(self.evaluator, self.known, (check,), ends)

        def moves(part: int) -> Moves:
            return tuple(_moved_by_part(lever, part) for lever in levers)

        def will_do(part: int) -> bool:
            return _badness(trial, check, start | values_of(moves(part))) <= SEVERITY[allowed]

        part = nearest(1, PARTS_OF_ROOM, will_do)
        return None if part is None else moves(part)


def _badness(trial: Trial, check: str, values: dict[str, float]) -> int:
    """How bad a verdict is; worst where the check cannot be judged."""
    verdict = trial.verdict(check, values)
    return NOT_JUDGED if verdict is None else SEVERITY[verdict]


def _moved_by_part(lever: Lever, part: int) -> Move:
    """A lever moved by a part of its room, rounded away from where the build stands: the safe side."""
    first, last = lever.ladder.rungs(lever.way)
    share = -(-abs(last - first) * part // PARTS_OF_ROOM)
    return Move(lever, first + share if lever.way == "up" else first - share)
