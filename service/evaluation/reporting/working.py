"""The working of a check: every step behind it in order, with the formula, the numbers put in, and the
source.
"""

import re

from service.evaluation.planning.plan import Plan
from service.evaluation.planning.steps import route_taken
from service.evaluation.reporting.sentences import Writer
from service.evaluation.running.run import Run
from service.json_object import JsonObject
from service.rulebook.formulas.graph import Node, RouteNode
from service.rulebook.input import UNKNOWN
from service.rulebook.names import at_point, identifier, shown

_NAME = re.compile(
    r"(at_(?P<point>[a-z0-9_]+)\((?P<inner>[a-z0-9_]+)\))"
    r"|(?P<name>[a-z][a-z0-9_]*(\.[a-z0-9_]+)?)(?P<call>\s*\()?"
)


class WorkingWriter:
    """Writes the workings of one rulebook."""

    def __init__(self, writer: Writer):
        self.rulebook = writer.rulebook
        self.writer = writer

    def lines(self, names: list[str], run: Run, system: str) -> list[JsonObject]:
        """One line for each step that the names depend on, in the order of the run."""
        nodes = self.rulebook.graph.nodes
        needed: set[str] = set()
        waiting = list(names)
        while waiting:
            name = waiting.pop()
            if name not in needed and name in nodes:
                needed.add(name)
                waiting += route_taken(run.plan.resolution, name).names
        return [self._line(node, run, system) for name, node in nodes.items() if name in needed]

    def _line(self, node: Node, run: Run, system: str) -> JsonObject:
        route = route_taken(run.plan.resolution, node.id)
        kind, citation = self._source(run.plan, route)
        shower = self.writer.shower_of(node.id, system)
        label = node.quantity.label
        if node.point:
            label = f"{label}, {self.rulebook.points[node.point].label}"
        line: JsonObject = {
            "name": shown(node.id),
            "label": label,
            "formula": route.route.formula.text,
            "with_numbers": self._with_numbers(route.route.formula.text, node, run, system),
        }
        if node.slot in run.failed:
            line |= {"value": None, "unit": shower.unit, "text": "can't be calculated here"}
        else:
            line |= shower.measure(run.values[node.slot])
        return line | {"source": {"kind": kind, "citation": citation}}

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

    def _with_numbers(self, formula: str, node: Node, run: Run, system: str) -> str:
        """The formula with every name replaced by its number and unit."""

        def replace(match: re.Match[str]) -> str:
            if match["call"] or match["name"] == "pi":
                return match[0]
            inner = match["inner"]
            name = at_point(inner, match["point"]) if inner else self._identifier(match["name"], node)
            shower = self.writer.find_shower(name, system)
            if shower is None:
                return match[0]
            number = shower.written(run.values[self.rulebook.graph.slots[name]])
            return f"({number})" if number.startswith("-") else number

        return _NAME.sub(replace, formula)

    def _identifier(self, name: str, node: Node) -> str:
        """What a name of a formula stands for at the operating point of its node."""
        if node.point:
            if name.startswith("point."):
                return at_point(name[6:], node.point)
            quantity = self.rulebook.quantities.get(name)
            if quantity and quantity.at_points:
                return at_point(name, node.point)
        return identifier(name)
