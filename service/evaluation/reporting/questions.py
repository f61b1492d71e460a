"""The inputs to ask for, those that would settle most first, each with the reason why."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from service.evaluation.judging.spread import Spread
from service.evaluation.planning.plan import Plan
from service.evaluation.reporting.sentences import lower
from service.json_object import JsonObject
from service.rulebook.check import Check
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook

# A check that can only warn advises; one that can fail decides an order (house choice).
WEIGHT_OF_ADVICE = 0.5
# A question is said to settle a check when it takes at least this part of the doubt away (house choice).
PART_THAT_SETTLES = 0.25
# A check on a part that the customer brought up counts double: who names a clutch wants to know about it
# (house choice).
BROUGHT_UP = 2.0
# Every order names these, so naming them tells nothing.
ALWAYS_NAMED = {"engine", "target"}
# What customers can seldom tell is asked for later than it would settle (house choice).
SELDOM_KNOWN = 0.25
# How much of a check's doubt an unknown choice is taken to be (house choice).
UNSIZED_DOUBT = 0.5
TITLES_TOLD = 2


@dataclass(slots=True)
class Question:
    """One input to ask for: how much it settles, which checks wait for it, which verdicts depend on it."""

    weight: float = 0.0
    clears: bool = False
    waiting: list[str] = field(default_factory=list)
    depending: list[str] = field(default_factory=list)


class Grounds(NamedTuple):
    """Why there may be something to ask: numbers with two readings, inputs that would clear up a finding."""

    two_readings: frozenset[str]
    clearing: tuple[str, ...]


class QuestionLists(dict[Grounds, list[JsonObject]]):
    """The questions of one plan where no verdict is in doubt; filled by QuestionWriter.questions alone."""


class BroughtUp(frozenset[str]):
    """The groups of which a build says something."""


class QuestionWriter:
    """Asks, for one rulebook."""

    def __init__(self, rulebook: Rulebook):
        self.rulebook = rulebook
        self.two_readings = {
            identifier(field.path): field.path for field in rulebook.inputs.values() if field.could_mean
        }

    def questions(
        self, plan: Plan, numbers: Iterable[str], spreads: dict[str, Spread], clearing: list[str]
    ) -> list[JsonObject]:
        """One question an input; of a group of alternatives the first is asked.

        `numbers`: the names that are given; `clearing`: inputs that would clear up a finding of the spec
        against itself.
        """
        grounds = Grounds(frozenset(self.two_readings.keys() & numbers), tuple(clearing))
        in_doubt = {check: spread for check, spread in spreads.items() if len(spread.could_be) > 1}
        if in_doubt:
            return self._questions(plan, grounds, in_doubt)
        # Without doubt they depend on names and choices only.
        lists = plan.kept.once(QuestionLists, QuestionLists)
        if grounds not in lists:
            lists[grounds] = self._questions(plan, grounds, {})
        return lists[grounds]

    def _questions(self, plan: Plan, grounds: Grounds, spreads: dict[str, Spread]) -> list[JsonObject]:
        asked = {self.two_readings[name]: Question() for name in sorted(grounds.two_readings)}
        first = set(asked)
        brought_up = plan.kept.once(BroughtUp, lambda: self._brought_up(plan))
        self._ask_what_is_missing(asked, plan, brought_up)
        self._ask_what_is_in_doubt(asked, spreads, brought_up)
        self._ask_unknown_choices(asked, plan, brought_up)
        for path in grounds.clearing:
            asked.setdefault(path, Question()).clears = True
        for path, question in asked.items():
            if self.rulebook.inputs[path].rarely_known:
                question.weight *= SELDOM_KNOWN
        ordered = sorted(
            asked.items(),
            key=lambda item: (item[0] not in first, not item[1].clears, -round(item[1].weight, 9)),
        )
        return [
            self._words(path, question)
            for path, question in ordered
            if path in first or question.waiting or question.depending or question.clears
        ]

    def _ask_what_is_missing(self, asked: dict[str, Question], plan: Plan, brought_up: BroughtUp) -> None:
        """What checks wait for. A number with two readings is asked about in place of what it could mean."""
        replaced = {meant: path for path in asked for meant in self.rulebook.inputs[path].could_mean}
        for entry in plan.not_checked:
            weight = _weight(self.rulebook.checks[entry.check], brought_up)
            for group in entry.needs:
                path = next((replaced[path] for path in group if path in replaced), group[0])
                question = asked.setdefault(path, Question())
                question.weight += weight / len(entry.needs)
                question.waiting.append(entry.check)

    def _ask_what_is_in_doubt(
        self, asked: dict[str, Question], spreads: dict[str, Spread], brought_up: BroughtUp
    ) -> None:
        """What was assumed and decides, each by its share."""
        for check, spread in spreads.items():
            for path, share in spread.shares.items():
                question = asked.setdefault(path, Question())
                question.weight += share * _weight(self.rulebook.checks[check], brought_up)
                if share >= PART_THAT_SETTLES:
                    question.depending.append(check)

    def _ask_unknown_choices(self, asked: dict[str, Question], plan: Plan, brought_up: BroughtUp) -> None:
        """An unknown choice, a fuel for instance, has no two ends to move between; its checks are in doubt
        all the same.
        """
        for check_plan in plan.checks:
            for lean in (plan.resolution.leans[id] for id in check_plan.leaning):
                if lean.table and lean.input:
                    question = asked.setdefault(lean.input, Question())
                    question.weight += UNSIZED_DOUBT * _weight(check_plan.check, brought_up)
                    question.depending.append(check_plan.check.id)

    def _brought_up(self, plan: Plan) -> BroughtUp:
        given, choices = plan.resolution.given, plan.resolution.choices
        named = {
            field.group
            for field in self.rulebook.inputs.values()
            if field.path in choices or any(identifier(word) in given for word in field.words.values())
        }
        return BroughtUp(named - ALWAYS_NAMED)

    def _words(self, path: str, question: Question) -> JsonObject:
        field = self.rulebook.inputs[path]
        words: JsonObject = {
            "input": path,
            "ask": field.ask,
            "why": self._why(path, question),
            "would_settle": list(dict.fromkeys([*question.waiting, *question.depending])),
        }
        return words | ({"could_mean": list(field.could_mean)} if field.could_mean else {})

    def _why(self, path: str, question: Question) -> str:
        """What is open without an answer, in the titles of the checks."""
        parts = []
        if self.rulebook.inputs[path].could_mean:
            parts.append("The number given can be read in more than one way.")
        if question.clears:
            parts.append("Something in the spec does not fit the rest without it.")
        if question.waiting:
            parts.append(f"Not judged without it: {self._titles(question.waiting)}.")
        if question.depending:
            parts.append(f"The verdict depends on it: {self._titles(question.depending)}.")
        return " ".join(parts)

    def _titles(self, checks: list[str]) -> str:
        titles = [lower(self.rulebook.checks[check].title) for check in dict.fromkeys(checks)]
        more = len(titles) - TITLES_TOLD
        return "; ".join(titles[:TITLES_TOLD]) + (f"; and {more} more" if more > 0 else "")


def _weight(check: Check, brought_up: BroughtUp) -> float:
    weight = 1.0 if check.can_fail else WEIGHT_OF_ADVICE
    return weight * BROUGHT_UP if _part(check) in brought_up else weight


def _part(check: Check) -> str:
    """The group of the part that a check is about: that of its first lever, or of the first thing it
    requires.
    """
    required = [choice for part in check.requires.each for choice in part.choices] if check.requires else []
    return next(iter([*check.levers, *required]), "").rpartition(".")[0]
