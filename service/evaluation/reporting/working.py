"""The working of a check: every step behind it in order, with the formula, the numbers put in, and the source."""

import re

from service.evaluation.planning.plan import Plan
from service.evaluation.reporting.sentences import Writer
from service.rulebook.formulas.graph import Node
from service.rulebook.input import UNKNOWN
from service.rulebook.names import at_point, identifier, shown
from service.rulebook.rulebook import Rulebook

_NAME = re.compile(
    r"(at_(?P<point>[a-z0-9_]+)\((?P<inner>[a-z0-9_]+)\))|(?P<name>[a-z][a-z0-9_]*(\.[a-z0-9_]+)?)(?P<call>\s*\()?"
)


def working(
    rulebook: Rulebook,
    writer: Writer,
    plan: Plan,
    names: list[str],
    values: list,
    failed: dict[int, int],
    system: str,
) -> list[dict]:
    """One line for each step that the names hang on, in the order of the run."""
    needed: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name not in needed and name in rulebook.graph.nodes:
            needed.add(name)
            waiting += plan.resolution.route(name).names
    return [
        _line(rulebook, writer, plan, node, values, failed, system)
        for name, node in rulebook.graph.nodes.items()
        if name in needed
    ]


def _line(
    rulebook: Rulebook,
    writer: Writer,
    plan: Plan,
    node: Node,
    values: list,
    failed: dict[int, int],
    system: str,
) -> dict:
    route = plan.resolution.route(node.id)
    kind, citation = _source(rulebook, plan, route)
    shower = writer.shower_of(node.id, system)
    label = node.quantity.label
    if node.point:
        label = f"{label}, {rulebook.points[node.point].label}"
    line = {
        "name": shown(node.id),
        "label": label,
        "formula": route.route.formula.text,
        "with_numbers": _put_in(rulebook, writer, route.route.formula.text, node, values, system),
    }
    if node.slot in failed:
        line |= {"value": None, "unit": shower.unit, "text": "not a number here"}
    else:
        line |= shower.measure(values[node.slot])
    return line | {"source": {"kind": kind, "citation": citation}}


def _source(rulebook: Rulebook, plan: Plan, route) -> tuple[str, str]:
    """Where a step's number comes from: a route that only takes over a value cites what it takes over."""
    taken = route.names[0] if len(route.names) == 1 and route.formula.text == shown(route.names[0]) else None
    id = route.route.source
    if taken:
        head, _, tail = taken.partition("__")
        if shown(taken) in rulebook.inputs or taken in plan.resolution.given:
            return "given", "Stated in the request."
        if head == "assumed":
            id = plan.resolution.leans[tail].row.source
        elif head in rulebook.tables:
            table = rulebook.tables[head]
            id = table.rows[plan.resolution.choices.get(table.key, UNKNOWN)].source
    return rulebook.sources[id].kind, rulebook.sources[id].citation


def _put_in(rulebook: Rulebook, writer: Writer, text: str, node: Node, values: list, system: str) -> str:
    """The formula with every name replaced by its number and unit."""

    def replace(found: re.Match) -> str:
        if found["call"] or found["name"] == "pi":
            return found[0]
        name = (
            at_point(found["inner"], found["point"])
            if found["inner"]
            else _bound(rulebook, found["name"], node)
        )
        slot = rulebook.graph.slots[name]
        shower = writer.shower_of(name, system)
        if shower is None:
            return found[0]
        shown_value = shower.text(values[slot])
        return f"({shown_value})" if shown_value.startswith("-") else shown_value

    return _NAME.sub(replace, text)


def _bound(rulebook: Rulebook, name: str, node: Node) -> str:
    if node.point:
        if name.startswith("point."):
            return at_point(name[6:], node.point)
        quantity = rulebook.quantities.get(name)
        if quantity and quantity.at_points:
            return at_point(name, node.point)
    return identifier(name)
