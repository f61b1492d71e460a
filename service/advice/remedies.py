"""What would fix a build: one plan for the whole of it, then for each check the levers that fix it alone."""

from itertools import combinations
from typing import NamedTuple

from service.advice.fixing import NO_MOVES
from service.advice.levers import Lever, Move, Moves, change_of
from service.advice.plan_search import FixPlan, find_plan
from service.advice.workshop import Workshop
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.reporting.brevity import within
from service.evaluation.reporting.sentences import lower
from service.evaluation.request import Request
from service.json_object import JsonObject
from service.rulebook.check import Check

# Bounds of the work for one check, by counts.
PAIRS_TRIED = 6
MOST_WORDS = 45
# How a plan begins, by what the build came to before and comes to with it.
BEGINNINGS = {
    ("fail", "pass"): "To make it work",
    ("fail", "warn"): "To make it workable, with caution",
    ("warn", "pass"): "To clear every warning",
}


def add_remedies(evaluator: Evaluator, request: Request, answer: JsonObject) -> None:
    """Puts a `plan` for the whole build into an answer, and `remedies` into every check that warns or fails
    and has levers.
    """
    entries = answer.get("checks", ())
    if all(entry["verdict"] == "pass" for entry in entries):
        return
    evaluator = evaluator.speaking(request.units)
    workshop = Workshop(evaluator, evaluator.read(request.build), request)
    plan = find_plan(workshop)
    if plan:
        # Of the whole it may be not_checked, where a check that was required could not be judged.
        worst = max((entry["verdict"] for entry in entries), key=SEVERITY.__getitem__)
        answer["plan"] = _plan_words(plan, worst)
    fixer = Fixer(workshop, {entry["check"]: entry["verdict"] for entry in entries})
    offers = [
        offer
        for entry in entries
        if entry["verdict"] != "pass"
        for offer in fixer.offers(evaluator.rulebook.checks[entry["check"]])
    ]
    agreeing = _agreeing(offers, plan.moves if plan else NO_MOVES, workshop)
    for entry in entries:
        if entry["verdict"] != "pass" and evaluator.rulebook.checks[entry["check"]].levers:
            mine = [offer for offer in agreeing if offer.check == entry["check"]]
            entry["remedies"] = [offer.words for offer in mine]


def _plan_words(plan: FixPlan, before: str) -> JsonObject:
    phrases = [move.phrase for move in plan.moves]
    *others, last = phrases
    listed = f"{', '.join(others)} and {last}" if others else last
    return {
        "verdict": plan.verdict,
        "changes": [
            {
                "input": move.lever.path,
                "label": move.ladder.input.label,
                "set": move.change,
                "text": move.sentence,
            }
            for move in plan.moves
        ],
        "set": change_of(plan.moves),
        "text": within([f"{BEGINNINGS[before, plan.verdict]}: {listed}."], MOST_WORDS),
    }


class Offer(NamedTuple):
    """One remedy of one check: its moves, and how it stands in a reply."""

    check: str
    moves: Moves
    words: JsonObject

    @property
    def rank(self) -> tuple[int, int]:
        """What leaves the whole best comes first, then what makes nothing worse."""
        return SEVERITY[self.words["verdict"]], len(self.words["breaks"])


class Fixer:
    """Looks for remedies of one build, check by check."""

    def __init__(self, workshop: Workshop, before: dict[str, str]):
        self.workshop = workshop
        self.before = before

    def offers(self, check: Check) -> list[Offer]:
        """Each lever that fixes the check alone; where none does, pairs of levers. None leaves the whole
        failing.
        """
        levers = self.workshop.levers.of(check)
        singles = [self._fixed(check, (lever,)) for lever in levers]
        offers = [offer for moves in singles if moves and (offer := self._offer(check, moves))]
        if not any(singles):
            pairs = list(combinations(levers, 2))[:PAIRS_TRIED]
            both = [self._fixed(check, pair) for pair in pairs]
            offers = [offer for moves in both if moves and (offer := self._offer(check, moves))]
        return sorted(offers, key=lambda offer: offer.rank)

    def _fixed(self, check: Check, levers: tuple[Lever, ...]) -> Moves | None:
        """The levers moved until the check passes; not where another failure is out of their reach."""
        paths = {lever.path for lever in levers}
        others = [id for id, verdict in self.before.items() if verdict == "fail" and id != check.id]
        if any(paths.isdisjoint(self.workshop.depends(other)) for other in others):
            return None
        return self.workshop.moved(check.id, levers, "pass", NO_MOVES)

    def _offer(self, check: Check, moves: Moves) -> Offer | None:
        """A remedy tried on the whole build; None where that still fails or can be judged no longer."""
        after = self.workshop.verdicts(moves)
        if after is None or after.get(check.id) != "pass" or "fail" in after.values():
            return None
        before = self.before
        broken = [
            {"check": id, "from": before.get(id, "not_checked"), "to": verdict}
            for id, verdict in after.items()
            if SEVERITY[verdict] > SEVERITY.get(before.get(id, ""), 0)
        ]
        first, *others = moves
        sentence = " and ".join([first.text, *(lower(move.text) for move in others)])
        words = {
            "set": change_of(moves),
            "text": f"{sentence}{self._then(broken)}.",
            "fixes": [id for id, verdict in before.items() if verdict != "pass" and after.get(id) == "pass"],
            "breaks": broken,
            "verdict": max(after.values(), key=SEVERITY.__getitem__),
        }
        return Offer(check.id, moves, words)

    def _then(self, broken: list[JsonObject]) -> str:
        """What gets worse with it."""
        if not broken:
            return ""
        checks = [self.workshop.rulebook.checks[entry["check"]] for entry in broken]
        told = [check.beyond or f"there is a warning about the {check.short}" for check in checks]
        *others, last = told
        return f"; then {', '.join(others)} and {last}" if others else f"; then {last}"


def _agreeing(offers: list[Offer], planned: Moves, workshop: Workshop) -> list[Offer]:
    """Of offers that move one input opposite ways, those that leave the whole better, the plan before all;
    those kept say what they rule out.
    """
    ways = {move.lever.path: move.lever.way for move in planned}
    for offer in sorted(offers, key=lambda offer: offer.rank):
        for move in offer.moves:
            ways.setdefault(move.lever.path, move.lever.way)
    kept = [offer for offer in offers if all(ways[move.lever.path] == move.lever.way for move in offer.moves)]
    dropped = [offer for offer in offers if offer not in kept]
    for offer in kept:
        paths = {move.lever.path for move in offer.moves}
        for other in dropped:
            against = next((move for move in other.moves if move.lever.path in paths), None)
            if against:
                offer.words["text"] += _ruled_out(against, other, workshop)
                break
    return kept


def _ruled_out(against: Move, other: Offer, workshop: Workshop) -> str:
    beyond = "More" if against.lever.way == "up" else "Less"
    short = workshop.rulebook.checks[other.check].short
    return f" {beyond} {lower(against.ladder.input.label)} would fix the {short} instead; choose this one."
