"""The inputs to ask for, those that would settle most first, each with the reason why."""

from service.evaluation.judging.spread import Spread
from service.evaluation.planning.plan import Plan
from service.evaluation.reporting.doubt import lower
from service.rulebook.model import Check
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook

# A check that can only warn advises; one that can fail decides an order (house choice).
WEIGHT_OF_ADVICE = 0.5
# A question is said to settle a check when it takes at least this part of the doubt away (house choice).
PART_THAT_SETTLES = 0.25
# A check on a part that the customer brought up counts double: who names a clutch wants to know about the clutch (house choice).
BROUGHT_UP = 2.0
# Every order names these, so naming them tells nothing.
ALWAYS_NAMED = {"engine", "target"}
# What customers can seldom say is asked for later than it would settle (house choice).
SELDOM_SAID = 0.25
# How much of a check's doubt an unknown choice is taken to be (house choice).
UNSIZED_DOUBT = 0.5
TITLES_SAID = 2


class Question:
    """One input to ask for: how much it would settle, which checks wait for it, which verdicts hang on it."""

    __slots__ = ("weight", "waiting", "hanging", "clears")

    def __init__(self):
        self.weight = 0.0
        self.clears = False
        self.waiting: list[str] = []
        self.hanging: list[str] = []


def questions(
    rulebook: Rulebook, plan: Plan, said: frozenset[str], spreads: dict[str, Spread], clearing: list[str]
) -> list[dict]:
    """One question an input; of a group of alternatives the first is asked.

    `said`: numbers with two readings, asked first; `clearing`: inputs that would clear up a finding of the spec against itself.
    """
    in_doubt = {check: spread for check, spread in spreads.items() if len(spread.could_be) > 1}
    if in_doubt:
        return _questions(rulebook, plan, said, in_doubt, clearing)
    # Without doubt they hang on names and choices only.
    key = ("questions", said, tuple(clearing))
    if key not in plan.texts:
        plan.texts[key] = _questions(rulebook, plan, said, {}, clearing)
    return plan.texts[key]


def _questions(
    rulebook: Rulebook, plan: Plan, said: frozenset[str], spreads: dict[str, Spread], clearing: list[str]
) -> list[dict]:
    asked: dict[str, Question] = {
        path: Question()
        for path in (
            next(one.path for one in rulebook.inputs.values() if identifier(one.path) == name)
            for name in sorted(said)
        )
    }
    first = set(asked)
    replaced = {meant: path for path in asked for meant in rulebook.inputs[path].could_mean}
    brought_up = _brought_up(rulebook, plan)
    for check, groups in plan.not_checked:
        weight = _weight(rulebook.checks[check], brought_up)
        for group in groups:
            path = next((replaced[path] for path in group if path in replaced), group[0])
            question = asked.setdefault(path, Question())
            question.weight += weight / len(groups)
            question.waiting.append(check)
    for check, spread in spreads.items():
        for path, share in spread.shares.items():
            question = asked.setdefault(path, Question())
            question.weight += share * _weight(rulebook.checks[check], brought_up)
            if share >= PART_THAT_SETTLES:
                question.hanging.append(check)
    # An unknown choice has no two ends to move between, a fuel for instance; each check that leans on it is in doubt all the same.
    for one in plan.checks:
        for path in (
            plan.resolution.leans[lean].input for lean in one.leaning if plan.resolution.leans[lean].table
        ):
            question = asked.setdefault(path, Question())
            question.weight += UNSIZED_DOUBT * _weight(one.check, brought_up)
            question.hanging.append(one.check.id)
    for path in clearing:
        asked.setdefault(path, Question()).clears = True
    for path, question in asked.items():
        if rulebook.inputs[path].rarely_known:
            question.weight *= SELDOM_SAID
    ordered = sorted(
        asked.items(), key=lambda item: (item[0] not in first, not item[1].clears, -round(item[1].weight, 9))
    )
    return [
        _said(rulebook, path, question)
        for path, question in ordered
        if path in first or question.waiting or question.hanging or question.clears
    ]


def two_readings(rulebook: Rulebook) -> frozenset[str]:
    """Identifiers of the inputs whose number could mean more than one thing."""
    return frozenset(identifier(one.path) for one in rulebook.inputs.values() if one.could_mean)


def _weight(check: Check, brought_up: set[str]) -> float:
    weight = 1.0 if "fail" in check.limits or check.collects else WEIGHT_OF_ADVICE
    # The first lever is the part that the check is about.
    part = next(iter(check.levers), "").rpartition(".")[0]
    return weight * BROUGHT_UP if part in brought_up else weight


def _brought_up(rulebook: Rulebook, plan: Plan) -> set[str]:
    """The groups of which the build says something."""
    key = "brought up"
    if key not in plan.texts:
        given, choices = plan.resolution.given, plan.resolution.choices
        named = {
            one.group
            for one in rulebook.inputs.values()
            if one.path in choices or any(identifier(word) in given for word in one.words.values())
        }
        plan.texts[key] = named - ALWAYS_NAMED
    return plan.texts[key]


def _said(rulebook: Rulebook, path: str, question: Question) -> dict:
    made = {
        "input": path,
        "ask": rulebook.inputs[path].ask,
        "why": _why(rulebook, path, question),
        "would_settle": list(dict.fromkeys([*question.waiting, *question.hanging])),
    }
    could_mean = rulebook.inputs[path].could_mean
    return made | ({"could_mean": list(could_mean)} if could_mean else {})


def _why(rulebook: Rulebook, path: str, question: Question) -> str:
    """What is open without an answer, in the titles of the checks."""
    parts = []
    if rulebook.inputs[path].could_mean:
        parts.append("The number given can be read in more than one way.")
    if question.clears:
        parts.append("Something in the spec does not fit the rest without it.")
    if question.waiting:
        parts.append(f"Not judged without it: {_titles(rulebook, question.waiting)}.")
    if question.hanging:
        parts.append(f"The verdict hangs on it: {_titles(rulebook, question.hanging)}.")
    return " ".join(parts)


def _titles(rulebook: Rulebook, checks: list[str]) -> str:
    titles = [lower(rulebook.checks[check].title) for check in dict.fromkeys(checks)]
    more = len(titles) - TITLES_SAID
    return "; ".join(titles[:TITLES_SAID]) + (f"; and {more} more" if more > 0 else "")
