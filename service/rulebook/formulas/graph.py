"""From quantities and operating points to compiled nodes in one fixed order; circles are judged over all routes together."""

from collections.abc import Callable
from dataclasses import dataclass, field
from operator import itemgetter

import numpy

from service.errors import Problem, RulebookError
from service.kept import Kept
from service.rulebook.formulas.compilers import Evaluator
from service.rulebook.formulas.formula import Formula
from service.rulebook.model import Guard, OperatingPoint, Quantity, Route
from service.rulebook.names import at_point, shown


@dataclass
class RouteNode:
    """One route at one operating point, compiled."""

    route: Route
    formula: Formula
    names: tuple[str, ...]
    call: Callable
    when: Guard
    columns: Callable | None = None
    fetch: Callable | None = None
    kept: Kept = field(default_factory=Kept, repr=False, compare=False)


@dataclass
class Node:
    """One quantity at one operating point (or at none), with its routes."""

    id: str
    quantity: Quantity
    point: str | None
    routes: list[RouteNode]
    slot: int = -1
    line: int = 0
    file: str = ""


@dataclass
class Graph:
    """All nodes in the order they run, and the slot of every value."""

    nodes: dict[str, Node] = field(default_factory=dict)
    slots: dict[str, int] = field(default_factory=dict)


def build_graph(
    quantities: dict[str, Quantity],
    words: dict[str, Quantity],
    points: list[OperatingPoint],
    leaves: list[str],
    evaluator: Evaluator,
    points_file: str,
) -> Graph:
    """Compile every route once, bind it to each operating point, and order the nodes."""
    per_point = {f"point__{word}": word for word in words} | {
        name: name for name, q in quantities.items() if q.at_points
    }
    compiler = _Compiler(evaluator)
    nodes: dict[str, Node] = {}
    for point in points:
        rename = {name: at_point(base, point.name) for name, base in per_point.items()}
        for word in words:
            routes = point.words.get(word, ())
            node_id = at_point(word, point.name)
            made = [compiler.route(route, rename, point.when) for route in routes]
            nodes[node_id] = Node(node_id, words[word], point.name, made, line=point.line, file=points_file)
        for name, quantity in quantities.items():
            if quantity.at_points:
                node_id = at_point(name, point.name)
                made = [compiler.route(route, rename, point.when) for route in quantity.routes]
                nodes[node_id] = Node(
                    node_id, quantity, point.name, made, line=quantity.line, file=quantity.file
                )
    for name, quantity in quantities.items():
        if not quantity.at_points:
            nodes[name] = Node(
                name,
                quantity,
                None,
                [compiler.route(route, {}, {}) for route in quantity.routes],
                line=quantity.line,
                file=quantity.file,
            )
    ordered = _ordered(nodes)
    slots = {name: slot for slot, name in enumerate([*leaves, *ordered])}
    for node in ordered.values():
        node.slot = slots[node.id]
        for route in node.routes:
            route.fetch = fetcher([slots[name] for name in route.names])
    return Graph(ordered, slots)


def fetcher(slots: list[int]) -> Callable:
    """A function from the list of values to the tuple of arguments at these slots."""
    if len(slots) == 1:
        slot = slots[0]
        return lambda values: (values[slot],)
    return itemgetter(*slots) if slots else lambda values: ()


class _Compiler:
    """Compiles a route once and shares it between operating points: calls are by position, so only the names differ."""

    def __init__(self, evaluator: Evaluator):
        self.evaluator = evaluator
        self.made: dict[int, tuple[Callable, Callable, list[Formula]]] = {}

    def route(self, route: Route, rename: dict[str, str], point_when: Guard) -> RouteNode:
        if id(route) not in self.made:
            self.made[id(route)] = (
                self._call(route, False),
                self._call(route, True),
                [formula for formula, _, _ in route.valid],
            )
        call, columns, valid = self.made[id(route)]
        formula = route.formula.bound(rename)
        names = list(formula.names)
        for extra in valid:
            names += extra.bound(rename).names
        when = dict(route.when)
        for choice, words in point_when.items():
            when[choice] = when[choice] & words if choice in when else words
        return RouteNode(route, formula, tuple(names), call, when, columns)

    def _call(self, route: Route, columns: bool) -> Callable:
        core = self.evaluator.prepare(route.formula, columns)
        if not route.valid:
            return core
        count = len(route.formula.names)
        checks = []
        start = count
        for formula, low, high in route.valid:
            end = start + len(formula.names)
            checks.append((self.evaluator.prepare(formula, columns), start, end, low, high))
            start = end
        return _within_columns(core, count, checks) if columns else _within(core, count, checks)


def _within(core: Callable, count: int, checks: list) -> Callable:
    def call(*values):
        for check, start, end, low, high in checks:
            if not low <= check(*values[start:end]) <= high:
                return float("nan")
        return core(*values[:count])

    return call


def _within_columns(core: Callable, count: int, checks: list) -> Callable:
    def call(*values):
        result = core(*values[:count])
        for check, start, end, low, high in checks:
            checked = check(*values[start:end])
            result = numpy.where((checked >= low) & (checked <= high), result, numpy.nan)
        return result

    return call


def _ordered(nodes: dict[str, Node]) -> dict[str, Node]:
    """Depth-first order over all routes together; a circle is refused with its path."""
    ordered: dict[str, Node] = {}
    path: list[str] = []
    on_path: set[str] = set()

    def visit(node_id: str) -> None:
        if node_id in ordered:
            return
        node = nodes[node_id]
        if node_id in on_path:
            circle = [*path[path.index(node_id) :], node_id]
            raise RulebookError(
                [
                    Problem(
                        node.file,
                        node.line,
                        f"`{shown(node_id)}` hangs on itself: {' <- '.join(shown(name) for name in circle)}.",
                        "Let one of them read inputs only (a `stated_...` quantity), and the others read that.",
                    )
                ]
            )
        path.append(node_id)
        on_path.add(node_id)
        for route in node.routes:
            for name in route.names:
                if name in nodes:
                    visit(name)
        path.pop()
        on_path.discard(node_id)
        ordered[node_id] = node

    for node_id in nodes:
        visit(node_id)
    return ordered
