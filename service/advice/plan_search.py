"""The smallest set of changes that brings a whole build to pass, or at least to warn."""

from heapq import heappop, heappush
from itertools import combinations
from typing import NamedTuple

from service.advice.fixing import NO_MOVES
from service.advice.levers import GOAL, Lever, Move, Moves
from service.advice.workshop import Workshop, worst
from service.evaluation.judging.judge import SEVERITY
from service.rulebook.input import EFFORTS

# Nobody takes in more changes at once.
MOST_CHANGES = 3
# Of the levers that fix a check only together so many pairs are tried.
PAIRS_TRIED = 6
# What is bought, not set or given up.
BOUGHT = (EFFORTS.index("bolt_on"), EFFORTS.index("inside"))
# Whether what the customer asked for may be given up, and the worst verdict allowed, in the order of the
# searches.
SEARCHES = ((False, "pass"), (False, "warn"), (True, "pass"), (True, "warn"))


class FixPlan(NamedTuple):
    """Changes that together bring the whole build to a verdict."""

    moves: Moves
    verdict: str


class _Queued(NamedTuple):
    """A build with moves put in: fewest changes first, with those it still needs, then the least effort."""

    changes: int
    effort: int
    turn: int
    moves: Moves


def find_plan(workshop: Workshop) -> FixPlan | None:
    """The best plan; None where the build passes, or nothing up to three changes helps."""
    now = worst(workshop.before)
    for gives_up, allowed in SEARCHES:
        if SEVERITY[allowed] < SEVERITY[now]:
            moves = PlanSearch(workshop, allowed, gives_up).moves()
            if moves:
                return FixPlan(moves, worst(workshop.verdicts(moves) or {}))
    return None


class PlanSearch:
    """One search: for the worst verdict allowed, with the customer's goal kept or given up.

    Every check that is worse than allowed has to be fixed, so the search goes from check to check: of those
    over the limit the one with the fewest levers is fixed by each of them in turn, and what that does to the
    others shows on the whole build. A queue holds builds with changes, those that need the fewest in all
    first:

        changes so far + checks over the limit that share no lever     the least it can come to
        then the sum of the efforts, then the order in which they were found

    so the first one taken that will do has the fewest changes and, of these, the least effort, as far as the
    nearest sufficient rung of each lever tells. A lever already moved may be moved further.
    """

    def __init__(self, workshop: Workshop, allowed: str, gives_up: bool):
        self.workshop = workshop
        self.allowed = allowed
        self.gives_up = gives_up
        self._queue: list[_Queued] = []
        self._seen: set[frozenset[tuple[str, int]]] = set()

    def moves(self) -> Moves | None:
        """The moves of the best plan within the bounds."""
        self._put(0, NO_MOVES)
        while self._queue and not self.workshop.exhausted:
            tried = heappop(self._queue)
            verdicts = self.workshop.verdicts(tried.moves)
            if verdicts is None:
                continue
            over = [check for check, verdict in verdicts.items() if not self._allows(verdict)]
            if not over:
                if tried.moves and self.workshop.verified(tried.moves, self.allowed):
                    return self._comfortable(tried.moves)
                continue
            levers = {check: self._levers(check, over, tried.moves) for check in over}
            needed = len(tried.moves) + self._apart(levers, tried.moves)
            if needed > MOST_CHANGES or not all(levers.values()):
                continue
            if needed > tried.changes:
                heappush(self._queue, tried._replace(changes=needed))
                continue
            check = min(over, key=lambda check: len(levers[check]))
            for moves in self._fixed(check, levers[check], tried.moves):
                self._put(needed, moves)
        return None

    def _comfortable(self, moves: Moves) -> Moves:
        """The same changes with parts that do not only just do: who buys a clutch buys one that passes."""
        checks, levers = self.workshop.rulebook.checks, self.workshop.levers
        for move in moves:
            if move.lever.effort not in BOUGHT:
                continue
            for check in self._warning(moves):
                if move.lever.key in [lever.key for lever in levers.of(checks[check])]:
                    more = self.workshop.moved(check, (move.lever,), "pass", moves)
                    better = _with(moves, more) if more else moves
                    if self._is_better(better, moves):
                        moves = better
        return moves

    def _is_better(self, moves: Moves, than: Moves) -> bool:
        verdicts = self.workshop.verdicts(moves) or {}
        fewer = len(self._warning(moves)) < len(self._warning(than))
        return "fail" not in verdicts.values() and fewer and self.workshop.verified(moves, self.allowed)

    def _warning(self, moves: Moves) -> list[str]:
        verdicts = self.workshop.verdicts(moves) or {}
        return [check for check, verdict in verdicts.items() if verdict == "warn"]

    def _put(self, needed: int, moves: Moves) -> None:
        key = frozenset((move.lever.path, move.rung) for move in moves)
        if len(moves) <= MOST_CHANGES and key not in self._seen:
            self._seen.add(key)
            effort = sum(move.lever.effort for move in moves)
            heappush(self._queue, _Queued(max(needed, len(moves)), effort, len(self._seen), moves))

    def _allows(self, verdict: str) -> bool:
        return SEVERITY[verdict] <= SEVERITY[self.allowed]

    def _levers(self, check: str, over: list[str], moves: Moves) -> list[Lever]:
        """What may fix a check, the least effort first: its own levers, else those of the other checks that
        it depends on.
        """
        checks, levers = self.workshop.rulebook.checks, self.workshop.levers
        candidates = levers.of(checks[check])
        if not checks[check].levers:
            depends = self.workshop.depends(check)
            pool = [lever for other in over for lever in levers.of(checks[other])]
            candidates = [*pool, *(move.lever for move in moves)]
            candidates = [lever for lever in candidates if lever.path in depends]
        moved = {move.lever.path: move for move in moves}
        each = {lever.key: lever for lever in candidates}
        usable = [lever for lever in each.values() if self._usable(lever, moved, len(moves))]
        return sorted(usable, key=lambda lever: (lever.effort, levers.place(lever)))

    def _usable(self, lever: Lever, moved: dict[str, Move], changes: int) -> bool:
        if lever.ladder.input.effort == GOAL and not self.gives_up:
            return False
        if lever.path in moved:
            return moved[lever.path].can_go_on(lever)
        return changes < MOST_CHANGES

    def _apart(self, levers: dict[str, list[Lever]], moves: Moves) -> int:
        """How many more changes are needed at least: checks over the limit that share no lever, nor one moved
        already.
        """
        used = {move.lever.path for move in moves}
        count = 0
        for paths in sorted(({lever.path for lever in each} for each in levers.values()), key=len):
            if used.isdisjoint(paths):
                count += 1
                used |= paths
        return count

    def _fixed(self, check: str, levers: list[Lever], moves: Moves) -> list[Moves]:
        """The moves that fix a check: each lever by itself, and pairs of which one alone is too weak."""
        weak, fixed = [], []
        for lever in levers:
            more = self.workshop.moved(check, (lever,), self.allowed, moves)
            if more:
                fixed.append(_with(moves, more))
            else:
                weak.append(lever.key)
        pairs = [pair for pair in combinations(levers, 2) if any(lever.key in weak for lever in pair)]
        for pair in pairs[:PAIRS_TRIED]:
            paths = [lever.path for lever in pair]
            others = tuple([move for move in moves if move.lever.path not in paths])
            if len(others) + len(pair) <= MOST_CHANGES:
                more = self.workshop.moved(check, pair, self.allowed, others)
                if more:
                    fixed.append(_with(others, more))
        return fixed


def _with(moves: Moves, more: Moves) -> Moves:
    """Moves with more of them, a lever that was moved before moved further."""
    by_path = {move.lever.path: move for move in (*moves, *more)}
    return tuple(by_path.values())
