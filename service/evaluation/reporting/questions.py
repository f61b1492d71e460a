"""The inputs to ask for, those that would settle most first, each with the reason why."""

from collections.abc import Iterable, Iterator
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


class Rank(NamedTuple):
    """What comes before what: of equal weight, what was brought up first."""

    not_first: bool
    turn: int
    lightness: float
    place: int


class Asked(NamedTuple):
    """A question, the input it asks for, and where it comes."""

    rank: Rank
    path: str
    question: Question


class Standing(NamedTuple):
    """The questions of one plan whatever its numbers are: by the input they ask for, and in their order."""

    questions: dict[str, Question]
    first: frozenset[str]
    ordered: list[Asked]


class StandingByGrounds(dict[Grounds, Standing]):
    """Those of one plan; filled by QuestionWriter alone."""


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
        return [in_words(self.rulebook, path, question) for _, path, question in asked]

    def _asked(self, plan: Plan, grounds: Grounds, spreads: dict[str, Spread]) -> list[Asked]:
        by_grounds = plan.kept.once(StandingByGrounds, StandingByGrounds)
        standing = by_grounds.get(grounds)
        if standing is None:
            standing = by_grounds[grounds] = self._standing(plan, grounds)
        in_doubt = {check: spread for check, spread in spreads.items() if len(spread.could_be) > 1}
        if not in_doubt:
            return standing.ordered
        asked = self._with_doubt(standing, in_doubt, plan)
        others = [other for other in standing.ordered if other.path not in asked]
        return sorted([*others, *self._ranked(asked, standing)])

    def _standing(self, plan: Plan, grounds: Grounds) -> Standing:
        """What depends on names and choices only."""
        asked = {self.two_readings[name]: Question() for name in sorted(grounds.two_readings)}
        first = frozenset(asked)
        brought_up = self._brought_up(plan)
        self._ask_what_is_missing(asked, plan, brought_up)
        self._ask_unknown_choices(asked, plan, brought_up)
        self._ask_what_clears_up(asked, plan, grounds.clearing)
        standing = Standing(asked, first, [])
        standing.ordered.extend(sorted(self._ranked(asked, standing)))
        return standing

    def _ranked(self, asked: dict[str, Question], standing: Standing) -> Iterator[Asked]:
        """The questions worth asking, each with its rank."""
        places = {path: place for place, path in enumerate(standing.questions)}
        for path, question in asked.items():
            first = path in standing.first
            if first or question.waiting or question.depending or question.turn < LAST:
                seldom = SELDOM_KNOWN if self.rulebook.inputs[path].rarely_known else 1.0
                place = places.setdefault(path, len(places))
                yield Asked(
                    Rank(not first, question.turn, -round(question.weight * seldom, 9), place), path, question
                )

    def _ask_what_is_missing(self, asked: dict[str, Question], plan: Plan, brought_up: BroughtUp) -> None:
        """What checks wait for. A number with two readings is asked about in place of what it could mean."""
        replaced = {meant: path for path in asked for meant in self.rulebook.inputs[path].could_mean.values()}
        for entry in plan.not_checked:
            check, groups = self.rulebook.checks[entry.check], list(entry.needs)
            weight = _weight(check, brought_up)
            for group in groups:
                path = next((replaced[path] for path in group if path in replaced), group[0])
                question = asked.setdefault(path, Question())
                question.weight += weight / len(groups)
                question.waiting.append(entry.check)
                if check.ask_first:
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

    def _with_doubt(self, standing: Standing, spreads: dict[str, Spread], plan: Plan) -> dict[str, Question]:
        """What was assumed and decides, each by its share; of a figure that goes by a choice not made, the
        choice.
        """
        unsaid, brought_up = self.unsaid(plan), self._brought_up(plan)
        asked: dict[str, Question] = {}
        for check, spread in spreads.items():
            weight = _weight(self.rulebook.checks[check], brought_up)
            for assumed, share in spread.shares.items():
                path = unsaid.get(assumed, assumed)
                question = asked.get(path)
                if question is None:
                    stands = standing.questions.get(path)
                    question = asked[path] = stands.copy() if stands else Question()
                question.weight += share * weight
                if share >= PART_THAT_SETTLES:
                    question.depending.append(check)
        return asked

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
        return plan.kept.once(BroughtUp, lambda: self._groups_named(plan))

    def _groups_named(self, plan: Plan) -> BroughtUp:
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
