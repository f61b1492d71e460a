"""What would fix a check: for each lever the nearest sufficient value people can buy, tried on the whole
build.
"""

from itertools import combinations
from typing import NamedTuple

from service.advice.ladder import Ladder, ladder_of
from service.advice.search import nearest
from service.advice.trial import Trial
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known
from service.evaluation.reporting.sentences import lower
from service.evaluation.request import Request
from service.json_object import JsonObject
from service.rulebook.check import Check

# Bounds of the work for one check, by counts.
PAIRS_TRIED = 6
# Two levers are moved together, each by the same part of its room.
PARTS_OF_ROOM = 32


def add_remedies(evaluator: Evaluator, request: Request, answer: JsonObject) -> None:
    """Puts `remedies` into every check of an answer that warns or fails and has levers."""
    evaluator = evaluator.speaking(request.units)
    known = evaluator.read(request.build)
    entries = answer.get("checks", ())
    fixer = Fixer(evaluator, known, request, {entry["check"]: entry["verdict"] for entry in entries})
    for entry in entries:
        check = evaluator.rulebook.checks[entry["check"]]
        if entry["verdict"] != "pass" and check.levers:
            entry["remedies"] = fixer.remedies(check)


class Lever(NamedTuple):
    """An input that may help, and the way to move it."""

    ladder: Ladder
    way: str


class Move(NamedTuple):
    """A lever moved to a rung."""

    ladder: Ladder
    way: str
    rung: int

    @property
    def value(self) -> float:
        return self.ladder.value(self.rung)

    @property
    def text(self) -> str:
        """'Injector flow: 60 lb/h or more instead of 42 lb/h'."""
        beyond = "more" if self.way == "up" else "less"
        text = f"{self.ladder.input.label}: {self.ladder.text(self.rung)} or {beyond}"
        now = self.ladder.text_now()
        return text if now is None else f"{text} instead of {now}"


class Fixer:
    """Looks for remedies of one build."""

    def __init__(self, evaluator: Evaluator, known: Known, request: Request, before: dict[str, str]):
        self.evaluator = evaluator
        self.rulebook = evaluator.rulebook
        self.known = known
        self.request = request
        self.before = before
        self.ladders: dict[str, Ladder | None] = {}

    def remedies(self, check: Check) -> list[JsonObject]:
        """Each lever that fixes the check alone; where none does, pairs of levers. What breaks nothing else
        comes first.
        """
        levers = self._levers(check)
        moves = [[move] for lever in levers if (move := self._single(check, lever))]
        remedies = [remedy for tried in moves if (remedy := self._remedy(check, tried))]
        if not remedies:
            pairs = list(combinations(levers, 2))[:PAIRS_TRIED]
            moves = [tried for pair in pairs if (tried := self._pair(check, pair))]
            remedies = [remedy for tried in moves if (remedy := self._remedy(check, tried))]
        return sorted(remedies, key=lambda remedy: (len(remedy["breaks"]), SEVERITY[remedy["verdict"]]))

    def _levers(self, check: Check) -> list[Lever]:
        """The levers with room in their direction."""
        levers = []
        for path, way in check.levers.items():
            if path not in self.ladders:
                self.ladders[path] = ladder_of(self.rulebook, path, self.known, self.request.units)
            ladder = self.ladders[path]
            if ladder:
                first, last = ladder.rungs(way)
                if (last - first) * (1 if way == "up" else -1) >= 0:
                    levers.append(Lever(ladder, way))
        return levers

    def _single(self, check: Check, lever: Lever) -> Move | None:
        """The nearest rung of one lever at which the check passes."""
        ladder = lever.ladder
        first, last = ladder.rungs(lever.way)
        trial = Trial(self.evaluator, self.known, (check.id,), {ladder.name: ladder.value(last)})

        def passes(rung: int) -> bool:
            return trial.verdicts({ladder.name: ladder.value(rung)}).get(check.id) == "pass"

        rung = nearest(first, last, passes)
        return None if rung is None else Move(*lever, rung)

    def _pair(self, check: Check, pair: tuple[Lever, ...]) -> list[Move] | None:
        """The least common part of their rooms at which the check passes with both levers moved."""
        ends = {ladder.name: ladder.value(ladder.rungs(way)[1]) for ladder, way in pair}
        trial = Trial(self.evaluator, self.known, (check.id,), ends)

        def moved(part: int) -> list[Move]:
            return [_moved_by_part(lever, part) for lever in pair]

        def passes(part: int) -> bool:
            values = {move.ladder.name: move.value for move in moved(part)}
            return trial.verdicts(values).get(check.id) == "pass"

        part = nearest(0, PARTS_OF_ROOM, passes)
        return None if part is None else moved(part)

    def _remedy(self, check: Check, moves: list[Move]) -> JsonObject | None:
        """A remedy tried on the whole build; None where the check does not pass there, or another one leaves
        what is modelled.
        """
        values = {move.ladder.name: move.value for move in moves}
        trial = Trial(self.evaluator, self.known, self.request.checks, values)
        after = trial.base_verdicts()
        if after.get(check.id) != "pass" or self.before.keys() & trial.base_outside().keys():
            return None
        change: JsonObject = {}
        for move in moves:
            group, name = move.ladder.input.group, move.ladder.input.name
            (change.setdefault(group, {}) if group else change)[name] = move.ladder.json(move.rung)
        first, *others = moves
        return {
            "set": change,
            "text": " and ".join([first.text, *(lower(move.text) for move in others)]) + ".",
            "fixes": [
                id for id, verdict in self.before.items() if verdict != "pass" and after.get(id) == "pass"
            ],
            "breaks": self._breaks(after),
            "verdict": max(after.values(), key=SEVERITY.__getitem__),
        }

    def _breaks(self, after: dict[str, str]) -> list[JsonObject]:
        """The checks that are worse than before."""
        return [
            {"check": id, "from": self.before.get(id, "not_checked"), "to": verdict}
            for id, verdict in after.items()
            if SEVERITY[verdict] > SEVERITY.get(self.before.get(id, ""), 0)
        ]


def _moved_by_part(lever: Lever, part: int) -> Move:
    """A lever moved by a part of its room, rounded away from where the build stands: the safe side."""
    first, last = lever.ladder.rungs(lever.way)
    share = -(-abs(last - first) * part // PARTS_OF_ROOM)
    return Move(*lever, first + share if lever.way == "up" else first - share)
