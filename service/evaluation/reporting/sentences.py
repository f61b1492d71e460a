"""Sentences with the numbers of a run put in. Choices print the rulebook's phrases, never a client's text."""

from collections.abc import Callable
from typing import NamedTuple

from service.evaluation.judging.judge import Judgement
from service.evaluation.planning.plan import Plan
from service.evaluation.reporting.display import Display
from service.rulebook.files.text import Placeholder, Sentence
from service.rulebook.input import UNKNOWN
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook

Filler = Callable[[list, Judgement | None], str]
Part = str | Filler
# The slot of a name that this plan cannot know.
NEVER = -1


class Prepared(NamedTuple):
    """A sentence of one plan: text with gaps, what fills them, and the slots it hangs on."""

    template: str
    fillers: tuple[Filler, ...]
    slots: frozenset[int]


class Writer:
    """Turns a rulebook's sentences into functions of a run's values, once per plan."""

    def __init__(self, rulebook: Rulebook, display: Display):
        self.rulebook = rulebook
        self.display = display
        self.dimensions: dict[str, str] = {}
        for one in rulebook.inputs.values():
            for dimension, word in one.words.items():
                self.dimensions[identifier(word)] = dimension
        for constant in rulebook.constants.values():
            self.dimensions[constant.name] = constant.dimension
        for table in rulebook.tables.values():
            for column in table.columns.values():
                if column.dimension:
                    self.dimensions[identifier(f"{table.name}.{column.name}")] = column.dimension
        for one in rulebook.assumptions.values():
            for end in ("assumed", "lowest", "highest"):
                self.dimensions[f"{end}__{one.name}"] = one.dimension

    def shower_of(self, name: str, system: str, unit: str | None = None):
        """How a name is shown: its own unit where it has one, else its dimension's."""
        node = self.rulebook.graph.nodes.get(name)
        if node:
            quantity = node.quantity
            return self.display.shower(
                quantity.dimension, system, unit or quantity.unit.get(system), quantity.digits
            )
        if name in self.dimensions:
            return self.display.shower(self.dimensions[name], system, unit)
        return None

    def prepare(
        self, sentence: Sentence, plan: Plan, point: str | None, judged: str | None, system: str
    ) -> "Prepared":
        """A sentence ready to be filled: choices and operating points are put in now, numbers at each run."""
        template, fillers, slots = "", [], []
        for part in sentence.parts:
            made, slot = (
                (part, None) if isinstance(part, str) else self._gap(part, plan, point, judged, system)
            )
            if isinstance(made, str):
                template += made.replace("%", "%%")
            else:
                template += "%s"
                fillers.append(made)
            if slot is not None:
                slots.append(slot)
        return Prepared(
            template if fillers else template.replace("%%", "%"), tuple(fillers), frozenset(slots)
        )

    def _gap(
        self, gap: Placeholder, plan: Plan, point: str | None, judged: str | None, system: str
    ) -> tuple[Part, int | None]:
        if gap.name == "point":
            return (self.rulebook.points[point].label if point else ""), None
        if gap.name in ("value", "limit", "margin"):
            return self._own(gap, judged, system), None
        if gap.name in self.rulebook.choices:
            word = plan.resolution.choices.get(gap.name, UNKNOWN)
            return self.rulebook.phrase(gap.name, word), None
        name = self.rulebook.identify(gap.name, gap.point or point)
        if not plan.resolution.known(name):
            return "", NEVER
        slot = self.rulebook.graph.slots[name]
        shower = self.shower_of(name, system, gap.unit)
        return (lambda values, _: shower.text(values[slot])), slot

    def _own(self, gap: Placeholder, judged: str | None, system: str) -> Part:
        if gap.name == "margin":
            return lambda _, made: f"{100 * made.margin:.0f} %" if made.margin is not None else "0 %"
        shower = self.shower_of(judged, system, gap.unit)
        if gap.name == "value":
            return lambda _, made: shower.text(made.value)
        return lambda _, made: shower.text(made.limit)


def say(prepared: list[Prepared], values: list, failed: dict[int, int], made: Judgement | None) -> str:
    """The sentences whose names are all known in this run."""
    said = []
    for one in prepared:
        if NEVER in one.slots or (failed and not failed.keys().isdisjoint(one.slots)):
            continue
        said.append(
            one.template % tuple([fill(values, made) for fill in one.fillers])
            if one.fillers
            else one.template
        )
    return " ".join(said)
