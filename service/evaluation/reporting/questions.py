"""The inputs to ask for, those that would settle most first, each with the reason why."""

from collections.abc import Iterable
from typing import NamedTuple

from service.evaluation.judging.spread import Spread
from service.evaluation.planning.plan import Plan
from service.evaluation.reporting.question_words import LAST, Question, in_words
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
# Nothing is asked before what safety waits for.
SAFETY = 0


class Clearing(NamedTuple):
    """An input that would clear something up, and the question in place of its own; or one that would narrow
    what was asked for.
    """

    input: str
    ask: str = ""
    narrows: bool = False


class Grounds(NamedTuple):
    """Why there may be something to ask: numbers with two readings, inputs that would clear up a finding."""

    two_readings: frozenset[str]
    clearing: tuple[Clearing, ...]


class Asked(NamedTuple):
    """A question and the input it asks for."""

    path: str
    question: Question


class AskedLists(dict[Grounds, list[Asked]]):
    """The questions of one plan where no verdict is in doubt; filled by QuestionWriter alone."""


class UnsaidChoices(dict[str, str]):
    """By input that was assumed, the choice not made that its assumption goes by."""


class BroughtUp(frozenset[str]):
    """The groups of which a build says something."""


class QuestionWriter:
    """Asks, for one rulebook."""

    def __init__(self, rulebook: Rulebook):
        self.rulebook = rulebook
        self.two_readings = {
            identifier(field.path): field.path for field in rulebook.inputs.values() if field.could_mean
        }

    @staticmethod
    def brief(question: JsonObject) -> JsonObject:
        """A question without the list of the checks that wait for it."""
        return {key: value for key, value in question.items() if key != "would_settle"}

    def questions(
        self,
        plan: Plan,
        numbers: Iterable[str],
        spreads: dict[str, Spread],
        clearing: list[Clearing],
        most: int | None = None,
    ) -> list[JsonObject]:
        """One question an input, `most` at most; of a group of alternatives the first is asked.

        `numbers`: the names that are given; `clearing`: what would clear up a contradiction.
        """
        grounds = Grounds(frozenset(self.two_readings.keys() & numbers), tuple(clearing))
        asked = self._asked(plan, grounds, spreads)[:most]
        return [in_words(self.rulebook, path, question) for path, question in asked]

    def _asked(self, plan: Plan, grounds: Grounds, spreads: dict[str, Spread]) -> list[Asked]:
        in_doubt = {check: spread for check, spread in spreads.items() if len(spread.could_be) > 1}
        if in_doubt:
            return self._in_order(plan, grounds, in_doubt)
        # Without doubt they depend on names and choices only.
        lists = plan.kept.once(AskedLists, AskedLists)
        if grounds not in lists:
            lists[grounds] = self._in_order(plan, grounds, {})
        return lists[grounds]

    def _in_order(self, plan: Plan, grounds: Grounds, spreads: dict[str, Spread]) -> list[Asked]:
        asked = {self.two_readings[name]: Question() for name in sorted(grounds.two_readings)}
        first = set(asked)
        brought_up = plan.kept.once(BroughtUp, lambda: self._brought_up(plan))
        self._ask_what_is_missing(asked, plan, brought_up)
        unsaid = self.unsaid(plan)
        self._ask_what_is_in_doubt(asked, spreads, unsaid, brought_up)
        self._ask_unknown_choices(asked, plan, brought_up)
        self._ask_what_clears_up(asked, plan, grounds.clearing)
        for path, question in asked.items():
            if self.rulebook.inputs[path].rarely_known:
                question.weight *= SELDOM_KNOWN
        ordered = sorted(
            asked.items(),
            key=lambda item: (item[0] not in first, item[1].turn, -round(item[1].weight, 9)),
        )
        return [
            Asked(path, question)
            for path, question in ordered
            if path in first or question.waiting or question.depending or question.turn < LAST
        ]

    def _ask_what_is_missing(self, asked: dict[str, Question], plan: Plan, brought_up: BroughtUp) -> None:
        """What checks wait for. A number with two readings is asked about in place of what it could mean."""
        replaced = {meant: path for path in asked for meant in self.rulebook.inputs[path].could_mean.values()}
        for entry in plan.not_checked:
            weight = _weight(self.rulebook.checks[entry.check], brought_up)
            for group in entry.needs:
                path = next((replaced[path] for path in group if path in replaced), group[0])
                question = asked.setdefault(path, Question())
                question.weight += weight / len(entry.needs)
                question.waiting.append(entry.check)
                if self.rulebook.checks[entry.check].ask_first:
                    question.turn = SAFETY

    def _ask_what_clears_up(
        self, asked: dict[str, Question], plan: Plan, clearing: tuple[Clearing, ...]
    ) -> None:
        """What was given, and is believed, is never asked for again in the same words."""
        for turn, (path, ask, narrows) in enumerate(clearing, SAFETY + 1):
            if not ask and self._given(path, plan):
                continue
            question = asked.setdefault(path, Question())
            question.turn = min(question.turn, turn)
            question.ask = question.ask or ask
            question.narrows = question.narrows or narrows

    def _given(self, path: str, plan: Plan) -> bool:
        words = self.rulebook.inputs[path].words.values()
        given = plan.resolution.given
        return path in plan.resolution.choices or any(identifier(word) in given for word in words)

    def _ask_what_is_in_doubt(
        self,
        asked: dict[str, Question],
        spreads: dict[str, Spread],
        unsaid: UnsaidChoices,
        brought_up: BroughtUp,
    ) -> None:
        """What was assumed and decides, each by its share; of a figure that goes by a choice not made, the
        choice.
        """
        for check, spread in spreads.items():
            for assumed, share in spread.shares.items():
                path = unsaid.get(assumed, assumed)
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

    def unsaid(self, plan: Plan) -> UnsaidChoices:
        """The choices of a plan that nobody has made and that assumed figures go by."""
        return plan.kept.once(UnsaidChoices, lambda: self._unsaid_choices(plan))

    def _unsaid_choices(self, plan: Plan) -> UnsaidChoices:
        """Nobody can say a fuel consumption, but whether the engine has a blower."""
        unsaid = UnsaidChoices()
        for lean in plan.moving_leans:
            by = self.rulebook.assumptions[lean.id].by if lean.row else ()
            choice = next(
                (c for c in by if c in self.rulebook.inputs and c not in plan.resolution.choices), None
            )
            if lean.input and choice and not lean.stated:
                unsaid[lean.input] = choice
        return unsaid

    def _brought_up(self, plan: Plan) -> BroughtUp:
        named = {field.group for field in self.rulebook.inputs.values() if self._given(field.path, plan)}
        return BroughtUp(named - ALWAYS_NAMED)


def _weight(check: Check, brought_up: BroughtUp) -> float:
    weight = 1.0 if check.can_fail else WEIGHT_OF_ADVICE
    return weight * BROUGHT_UP if _part(check) in brought_up else weight


def _part(check: Check) -> str:
    """The group of the part that a check is about: that of its first lever, or of the first thing it
    requires.
    """
    required = [choice for part in check.requires.each for choice in part.choices] if check.requires else []
    return next(iter([*check.levers, *required]), "").rpartition(".")[0]
