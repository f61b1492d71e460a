"""What would mend a check: for each lever the nearest sufficient value people can buy, tried on the whole build."""

from itertools import combinations

from service.advice.ladder import Ladder, ladder_of
from service.advice.search import nearest
from service.advice.trial import Trial
from service.evaluation.evaluate import Evaluator, Request
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known
from service.evaluation.reporting.sentences import lower
from service.rulebook.model import Check

# Bounds of the work for one check, by counts.
PAIRS_TRIED = 6
# Two levers are moved together, each by the same part of its room.
PARTS_OF_ROOM = 32


def add_remedies(evaluator: Evaluator, request: Request, answer: dict) -> None:
    """Puts `remedies` into every check of an answer that warns or fails and has levers."""
    known = evaluator.reader.read(request.build)
    before = {entry["check"]: entry["verdict"] for entry in answer.get("checks", ())}
    mender = Mender(evaluator, known, request, before)
    for entry in answer.get("checks", ()):
        if entry["verdict"] != "pass" and evaluator.rulebook.checks[entry["check"]].levers:
            entry["remedies"] = mender.remedies(evaluator.rulebook.checks[entry["check"]])


class Mender:
    """Looks for remedies of one build."""

    def __init__(self, evaluator: Evaluator, known: Known, request: Request, before: dict[str, str]):
        self.evaluator = evaluator
        self.rulebook = evaluator.rulebook
        self.known = known
        self.request = request
        self.before = before
        self.ladders: dict[str, Ladder | None] = {}

    def remedies(self, check: Check) -> list[dict]:
        """Each lever that mends the check alone; where none does, pairs of levers. What breaks nothing else comes first."""
        found = [
            self._remedy(check, [(ladder, way, rung)])
            for ladder, way in self._levers(check)
            if (rung := self._single(check, ladder, way)) is not None
        ]
        if not any(found):
            pairs = list(combinations(self._levers(check), 2))[:PAIRS_TRIED]
            found = [self._remedy(check, moved) for pair in pairs if (moved := self._pair(check, pair))]
        return sorted(
            (one for one in found if one), key=lambda one: (len(one["breaks"]), SEVERITY[one["verdict"]])
        )

    def _levers(self, check: Check) -> list[tuple[Ladder, str]]:
        levers = []
        for path, way in check.levers.items():
            if path not in self.ladders:
                self.ladders[path] = ladder_of(self.rulebook, path, self.known, self.request.units)
            ladder = self.ladders[path]
            if ladder:
                first, last = ladder.rungs(way)
                if (last - first) * (1 if way == "up" else -1) >= 0:
                    levers.append((ladder, way))
        return levers

    def _single(self, check: Check, ladder: Ladder, way: str) -> int | None:
        first, last = ladder.rungs(way)
        trial = Trial(self.evaluator, self.known, (check.id,), {ladder.name: ladder.value(last)})
        passes = lambda rung: trial.verdicts({ladder.name: ladder.value(rung)}).get(check.id) == "pass"
        return nearest(first, last, passes)

    def _pair(self, check: Check, pair: tuple) -> list[tuple[Ladder, str, int]] | None:
        ends = {ladder.name: ladder.value(ladder.rungs(way)[1]) for ladder, way in pair}
        trial = Trial(self.evaluator, self.known, (check.id,), ends)

        def moved(part: int) -> list[tuple[Ladder, str, int]]:
            made = []
            for ladder, way in pair:
                first, last = ladder.rungs(way)
                # Rounded away from where the build stands: the safe side.
                room = abs(last - first)
                share = -(-room * part // PARTS_OF_ROOM)
                made.append((ladder, way, first + share if way == "up" else first - share))
            return made

        passes = lambda part: (
            trial.verdicts({ladder.name: ladder.value(rung) for ladder, _, rung in moved(part)}).get(check.id)
            == "pass"
        )
        part = nearest(0, PARTS_OF_ROOM, passes)
        return None if part is None else moved(part)

    def _remedy(self, check: Check, moved: list[tuple[Ladder, str, int]]) -> dict | None:
        """A remedy tried on the whole build; None where the check does not pass there."""
        values = {ladder.name: ladder.value(rung) for ladder, _, rung in moved}
        trial = Trial(self.evaluator, self.known, self.request.checks, values)
        after = trial.verdicts_of(trial.base, values)
        if after.get(check.id) != "pass":
            return None
        rank = lambda verdict: SEVERITY.get(verdict, -1)
        fixes = [id for id, verdict in self.before.items() if verdict != "pass" and after.get(id) == "pass"]
        breaks = [
            {"check": id, "from": self.before.get(id, "not_checked"), "to": verdict}
            for id, verdict in after.items()
            if rank(verdict) > max(rank(self.before.get(id)), 0)
        ]
        change: dict = {}
        for ladder, _, rung in moved:
            group, name = ladder.input.group, ladder.input.name
            (change.setdefault(group, {}) if group else change)[name] = ladder.json(rung)
        return {
            "set": change,
            "text": " and ".join([_said(*moved[0]), *(lower(_said(*one)) for one in moved[1:])]) + ".",
            "fixes": fixes,
            "breaks": breaks,
            "verdict": max(after.values(), key=SEVERITY.__getitem__),
        }


def _said(ladder: Ladder, way: str, rung: int) -> str:
    text = f"{ladder.input.label}: {ladder.text(rung)} or {'more' if way == 'up' else 'less'}"
    return text if ladder.now is None else f"{text} instead of {_now(ladder)}"


def _now(ladder: Ladder) -> str:
    return f"{ladder.now * ladder.step:.4g} {ladder.unit}".rstrip()
