"""The working of a check: every step behind it in order, with the formula, the numbers put in, and the
source.
"""

import re
from typing import NamedTuple

from service.evaluation.planning.plan import Plan
from service.evaluation.planning.steps import route_taken
from service.evaluation.reporting.display import Shower
from service.evaluation.reporting.sentences import Writer
from service.evaluation.running.run import Run, Values
from service.json_object import JsonObject
from service.rulebook.formulas.graph import Node, RouteNode
from service.rulebook.input import UNKNOWN
from service.rulebook.names import at_point, identifier, shown

_NAME = re.compile(
    r"(at_(?P<point>[a-z0-9_]+)\((?P<inner>[a-z0-9_]+)\))"
    r"|(?P<name>[a-z][a-z0-9_]*(\.[a-z0-9_]+)?)(?P<call>\s*\()?"
)


class Gap(NamedTuple):
    """A name of a formula: how its number is shown, and where it stands."""

    shower: Shower
    slot: int

    def number(self, values: Values) -> str:
        """The number with its unit; a negative one in brackets."""
        number = self.shower.written(values[self.slot])
        return f"({number})" if number.startswith("-") else number


class PreparedLine(NamedTuple):
    """What a line of a working takes from plan and units only."""

    slot: int
    shower: Shower
    name: str
    label: str
    formula: str
    template: str
    gaps: list[Gap]
    source: JsonObject

    def filled(self, run: Run) -> JsonObject:
        """The line with the numbers of a run."""
        values = run.values
        line: JsonObject = {
            "name": self.name,
            "label": self.label,
            "formula": self.formula,
            "with_numbers": self.template % tuple([gap.number(values) for gap in self.gaps]),
        }
        if self.slot in run.failed:
            line |= {"value": None, "unit": self.shower.unit, "text": "can't be calculated here"}
        else:
            line |= self.shower.measure(values[self.slot])
        line["source"] = self.source
        return line


class PreparedWorkings:
    """The lines of one plan, by step and system of units, and which of them each working has."""

    def __init__(self) -> None:
        self.lines: dict[tuple[str, str], PreparedLine] = {}
        self.workings: dict[tuple[tuple[str, ...], str], list[PreparedLine]] = {}


class WorkingWriter:
    """Writes the workings of one rulebook."""

    def __init__(self, writer: Writer):
        self.rulebook = writer.rulebook
        self.writer = writer

    def lines(self, names: list[str], run: Run, system: str) -> list[JsonObject]:
        """One line for each step that the names depend on, in the order of the run."""
        workings = run.plan.kept.once(PreparedWorkings, PreparedWorkings).workings
        key = (tuple(names), system)
        if key not in workings:
            workings[key] = self._prepared(names, run.plan, system)
        return [line.filled(run) for line in workings[key]]

    def _prepared(self, names: list[str], plan: Plan, system: str) -> list[PreparedLine]:
        nodes = self.rulebook.graph.nodes
        needed: set[str] = set()
        waiting = list(names)
        while waiting:
            name = waiting.pop()
            if name not in needed and name in nodes:
                needed.add(name)
                waiting += route_taken(plan.resolution, name).names
        lines = plan.kept.once(PreparedWorkings, PreparedWorkings).lines
        for name in needed:
            if (name, system) not in lines:
                lines[name, system] = self._line(nodes[name], plan, system)
        return [lines[name, system] for name in nodes if name in needed]

    def _line(self, node: Node, plan: Plan, system: str) -> PreparedLine:
        route = route_taken(plan.resolution, node.id)
        kind, citation = self._source(plan, route)
        label = node.quantity.label
        if node.point:
            label = f"{label}, {self.rulebook.points[node.point].label}"
        formula = route.route.formula.text
        template, gaps = self._with_gaps(formula, node, system)
        return PreparedLine(
            slot=node.slot,
            shower=self.writer.shower_of(node.id, system),
            name=shown(node.id),
            label=label,
            formula=formula,
            template=template,
            gaps=gaps,
            source={"kind": kind, "citation": citation},
        )

    def _source(self, plan: Plan, route: RouteNode) -> tuple[str, str]:
        """Where a step's number comes from: a route that only takes over a value cites what it takes over."""
        id = route.route.source
        if len(route.names) == 1 and route.route.formula.text == shown(route.names[0]):
            taken = route.names[0]
            head, _, tail = taken.partition("__")
            if shown(taken) in self.rulebook.inputs or taken in plan.resolution.given:
                return "given", "Given in the request."
            if head == "assumed":
                id = plan.resolution.leans[tail].certain_row.source
            elif head in self.rulebook.tables:
                table = self.rulebook.tables[head]
                id = table.rows[plan.resolution.choices.get(table.key, UNKNOWN)].source
        return self.rulebook.sources[id].kind, self.rulebook.sources[id].citation

    def _with_gaps(self, formula: str, node: Node, system: str) -> tuple[str, list[Gap]]:
        """The formula with a gap for each number that a name stands for."""
        gaps: list[Gap] = []

        def gap(match: re.Match[str]) -> str:
            if match["call"] or match["name"] == "pi":
                return match[0]
            inner = match["inner"]
            name = at_point(inner, match["point"]) if inner else self._identifier(match["name"], node)
            shower = self.writer.find_shower(name, system)
            if shower is None:
                return match[0]
            gaps.append(Gap(shower, self.rulebook.graph.slots[name]))
            return "%s"

        return _NAME.sub(gap, formula.replace("%", "%%")), gaps

    def _identifier(self, name: str, node: Node) -> str:
        """What a name of a formula stands for at the operating point of its node."""
        if node.point:
            if name.startswith("point."):
                return at_point(name[6:], node.point)
            quantity = self.rulebook.quantities.get(name)
            if quantity and quantity.at_points:
                return at_point(name, node.point)
        return identifier(name)
