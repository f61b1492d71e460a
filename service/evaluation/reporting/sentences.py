"""Sentences with the numbers of a run put in. Choices print the rulebook's phrases, never a client's text."""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from service.evaluation.judging.judge import Judgement
from service.evaluation.planning.check_plan import CheckPlan
from service.evaluation.planning.plan import Plan
from service.evaluation.reporting.display import Display, Shower
from service.evaluation.running.run import Figures, Values
from service.rulebook.files.text import Placeholder, Sentence
from service.rulebook.input import UNKNOWN
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook

Filler = Callable[[Values, Judgement | None], str]
# The slot of a name that this plan cannot know.
NEVER = -1
# What a sentence may say of its own check.
OF_THE_JUDGEMENT = ("value", "limit", "margin")
LIMITS_BY_NAME = {"warn_limit": "warn", "fail_limit": "fail"}


class Prepared(NamedTuple):
    """A sentence of one plan: text with gaps, what fills them, and the slots it depends on."""

    template: str
    fillers: tuple[Filler, ...]
    slots: frozenset[int]


class Place(NamedTuple):
    """Where a sentence stands: the operating point, the name whose value and limit it tells, the system of
    units.
    """

    point: str | None
    judged: str | None
    system: str
    plan: CheckPlan | None = None


class Writer:
    """Turns a rulebook's sentences into functions of a run's values, once per plan."""

    def __init__(self, rulebook: Rulebook, display: Display):
        self.rulebook = rulebook
        self.display = display
        self.dimensions = _dimensions(rulebook)

    def shower_of(self, name: str, system: str, unit: str | None = None) -> Shower:
        """How a name is shown: its own unit where it has one, else its dimension's."""
        shower = self.find_shower(name, system, unit)
        assert shower is not None, f"{name} is no number"
        return shower

    def find_shower(self, name: str, system: str, unit: str | None = None) -> Shower | None:
        """The same; None for a name that is no number: a curve or a map."""
        node = self.rulebook.graph.nodes.get(name)
        if node:
            quantity = node.quantity
            unit = unit or quantity.unit.get(system)
            return self.display.shower(quantity.dimension, system, unit, quantity.digits)
        if name in self.dimensions:
            return self.display.shower(self.dimensions[name], system, unit)
        return None

    def prepare(self, sentence: Sentence, plan: Plan, place: Place) -> Prepared:
        """A sentence ready to be filled: choices and operating points are put in now, numbers at each run."""
        template = ""
        fillers: list[Filler] = []
        slots: list[int] = []
        for part in sentence.parts:
            filling, slot = (part, None) if isinstance(part, str) else self._gap(part, plan, place)
            if isinstance(filling, str):
                template += filling.replace("%", "%%")
            else:
                template += "%s"
                fillers.append(filling)
            if slot is not None:
                slots.append(slot)
        if not fillers:
            template = template.replace("%%", "%")
        return Prepared(template, tuple(fillers), frozenset(slots))

    def _gap(self, gap: Placeholder, plan: Plan, place: Place) -> tuple[str | Filler, int | None]:
        """What fills a gap, and the slot that it reads."""
        if gap.name == "point":
            return (self.rulebook.points[place.point].label if place.point else ""), None
        if gap.name == "missing":
            return self._missing(place), None
        if gap.name in LIMITS_BY_NAME:
            return self._limit_by_name(gap, place)
        if gap.name in OF_THE_JUDGEMENT:
            return self._of_the_judgement(gap, place), None
        if gap.name in self.rulebook.choices:
            word = plan.resolution.choices.get(gap.name, UNKNOWN)
            return self.rulebook.phrase(gap.name, word), None
        name = self.rulebook.identify(gap.name, gap.point or place.point)
        if not plan.resolution.known(name):
            return "", NEVER
        slot = self.rulebook.graph.slots[name]
        shower = self.shower_of(name, place.system, gap.unit)
        return (lambda values, _: shower.text(values[slot])), slot

    def _missing(self, place: Place) -> str:
        """What a check requires and does not find: "ignition-protected parts and a flame arrester"."""
        choices = place.plan.missing if place.plan else ()
        return " and ".join(lower(self.rulebook.inputs[choice].label) for choice in choices)

    def _limit_by_name(self, gap: Placeholder, place: Place) -> tuple[Filler, int | None]:
        """A check's own limit of one level, whichever limit decided."""
        level = LIMITS_BY_NAME[gap.name]
        points = place.plan.points if place.plan else []
        point_plan = next(point_plan for point_plan in points if point_plan.point == place.point)
        limit = next(
            limit for limit in point_plan.limits if limit.level == level and limit.slot == point_plan.slot
        )
        shower = self.shower_of(
            self.rulebook.identify(limit.bound.judges, place.point), place.system, gap.unit
        )
        return (lambda values, _: shower.text(limit.value(values))), limit.limit_slot

    def _of_the_judgement(self, gap: Placeholder, place: Place) -> Filler:
        if gap.name == "margin":
            return lambda _, judgement: _margin(_certain(judgement))
        shower = self.shower_of(place.judged or "", place.system, gap.unit)
        if gap.name == "value":
            return lambda _, judgement: _value(shower, _certain(judgement))
        return lambda _, judgement: shower.text(_certain(judgement).limit)


def lower(label: str) -> str:
    """A label inside a sentence; one that starts with an abbreviation stays."""
    return label if label[:2].isupper() else label[:1].lower() + label[1:]


def _certain(judgement: Judgement | None) -> Judgement:
    assert judgement is not None, "a sentence outside a check has no value, limit or margin to tell"
    return judgement


def _value(shower: Shower, judgement: Judgement) -> str:
    beyond = judgement.margin is not None and judgement.margin < 0
    return shower.apart(judgement.value, judgement.limit) if beyond else shower.text(judgement.value)


def _margin(judgement: Judgement) -> str:
    return "0 %" if judgement.margin is None else f"{100 * judgement.margin:.0f} %"


def say(prepared: Iterable[Prepared], figures: Figures, judgement: Judgement | None = None) -> str:
    """The sentences whose names are all known in this run."""
    values, failed = figures
    sentences = []
    for template, fillers, slots in prepared:
        if NEVER in slots or (failed and not failed.keys().isdisjoint(slots)):
            continue
        sentences.append(
            template % tuple([fill(values, judgement) for fill in fillers]) if fillers else template
        )
    return " ".join(sentences)


def _dimensions(rulebook: Rulebook) -> dict[str, str]:
    """The dimension of every name that is no quantity, by identifier."""
    dimensions: dict[str, str] = {}
    for field in rulebook.inputs.values():
        for dimension, word in field.words.items():
            dimensions[identifier(word)] = dimension
    for constant in rulebook.constants.values():
        dimensions[constant.name] = constant.dimension
    for table in rulebook.tables.values():
        for column in table.columns.values():
            if column.dimension:
                dimensions[identifier(f"{table.name}.{column.name}")] = column.dimension
    for assumption in rulebook.assumptions.values():
        for end in ("assumed", "lowest", "highest"):
            dimensions[f"{end}__{assumption.name}"] = assumption.dimension
    return dimensions
