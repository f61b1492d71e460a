"""From quantities and operating points to compiled nodes in one fixed order; circles are judged over all
routes together.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from operator import itemgetter
from typing import Any, NamedTuple, Protocol

import numpy as np

from service.errors import Problem, RulebookError
from service.kept import Kept
from service.rulebook.formulas.compilers import Compiled, FormulaCompiler
from service.rulebook.model import Guard, OperatingPoint, Quantity, Route
from service.rulebook.names import at_point, shown

Fetch = Callable[[Any], tuple[Any, ...]]
"""From the list of values by slot to the arguments of a call."""


@dataclass
class RouteNode:
    """One route at one operating point, compiled."""

    route: Route
    names: tuple[str, ...]
    calls: "_Calls"
    when: Guard
    fetch: Fetch = tuple
    kept: Kept = field(default_factory=Kept, repr=False, compare=False)

    @property
    def call(self) -> Compiled:
        """The route as a function of floats."""
        return self.calls.floats

    @property
    def columns(self) -> Compiled:
        """The route as a function of columns."""
        return self.calls.columns


@dataclass
class Node:
    """One quantity at one operating point (or at none), with its routes."""

    id: str
    quantity: Quantity
    point: str | None
    routes: list[RouteNode]
    line: int
    file: str
    slot: int = -1


@dataclass
class Graph:
    """All nodes in the order they run, and the slot of every value."""

    nodes: dict[str, Node] = field(default_factory=dict)
    slots: dict[str, int] = field(default_factory=dict)


class Facts(Protocol):
    """What a graph is made of."""

    quantities: dict[str, Quantity]
    words: dict[str, Quantity]
    points: dict[str, OperatingPoint]

    def leaves(self) -> Iterable[str]:
        """Identifiers of everything that comes from outside."""


def build_graph(facts: Facts, compiler: FormulaCompiler, points_file: str) -> Graph:
    """Compile every route once, bind it to each operating point, and order the nodes."""
    ordered = _ordered(_nodes(facts, _RouteCompiler(compiler), points_file))
    slots = {name: slot for slot, name in enumerate([*facts.leaves(), *ordered])}
    for node in ordered.values():
        node.slot = slots[node.id]
        for route in node.routes:
            route.fetch = fetcher([slots[name] for name in route.names])
    return Graph(ordered, slots)


def _nodes(facts: Facts, compiler: "_RouteCompiler", points_file: str) -> dict[str, Node]:
    """The words and quantities of every point, then the quantities that have none."""
    per_point = {name: quantity for name, quantity in facts.quantities.items() if quantity.at_points}
    bases = {f"point__{word}": word for word in facts.words} | {name: name for name in per_point}
    nodes: dict[str, Node] = {}
    for point in facts.points.values():
        rename = {name: at_point(base, point.name) for name, base in bases.items()}
        for name, word in facts.words.items():
            routes = [compiler.route(route, rename, point.when) for route in point.words.get(name, ())]
            id = at_point(name, point.name)
            nodes[id] = Node(id, word, point.name, routes, point.line, points_file)
        for name, quantity in per_point.items():
            routes = [compiler.route(route, rename, point.when) for route in quantity.routes]
            id = at_point(name, point.name)
            nodes[id] = Node(id, quantity, point.name, routes, quantity.line, quantity.file)
    for name, quantity in facts.quantities.items():
        if not quantity.at_points:
            routes = [compiler.route(route, {}, {}) for route in quantity.routes]
            nodes[name] = Node(name, quantity, None, routes, quantity.line, quantity.file)
    return nodes


def fetcher(slots: list[int]) -> Fetch:
    """A function from the list of values to the tuple of arguments at these slots."""
    if len(slots) == 1:
        slot = slots[0]
        return lambda values: (values[slot],)
    return itemgetter(*slots) if slots else lambda values: ()


class _RouteCompiler:
    """Compiles a route once and shares it between operating points: calls are by position, so only the names
    differ.
    """

    def __init__(self, compiler: FormulaCompiler):
        self.compiler = compiler
        self._compiled: dict[int, _Calls] = {}

    def route(self, route: Route, rename: Mapping[str, str], point_when: Guard) -> RouteNode:
        calls = self._compiled.get(id(route))
        if calls is None:
            calls = self._compiled[id(route)] = _Calls(self.compiler, route)
        formulas = (route.formula, *(validity.ratio for validity in route.valid))
        # Two names may become one, yet each keeps its place.
        names = tuple(rename.get(name, name) for formula in formulas for name in formula.names)
        when = dict(route.when)
        for choice, words in point_when.items():
            when[choice] = when[choice] & words if choice in when else words
        return RouteNode(route, names, calls, when)


class _Calls:
    """A route compiled for floats, and for columns once somebody asks for these: most routes never run so."""

    def __init__(self, compiler: FormulaCompiler, route: Route):
        self._compiler = compiler
        self._route = route
        self.floats = self._call(False)

    @cached_property
    def columns(self) -> Compiled:
        """For columns of numpy."""
        return self._call(True)

    def _call(self, columns: bool) -> Compiled:
        route = self._route
        core = self._compiler.prepare(route.formula, columns)
        if not route.valid:
            return core
        start = count = len(route.formula.names)
        ranges = []
        for validity in route.valid:
            end = start + len(validity.ratio.names)
            ratio = self._compiler.prepare(validity.ratio, columns)
            ranges.append(_Range(ratio, slice(start, end), validity.low, validity.high))
            start = end
        return _within_columns(core, count, ranges) if columns else _within(core, count, ranges)


class _Range(NamedTuple):
    """A compiled ratio, where its arguments stand, and between which values it has to lie."""

    ratio: Compiled
    arguments: slice
    low: float
    high: float


def _within(core: Compiled, count: int, ranges: list[_Range]) -> Compiled:
    def call(*values: Any) -> Any:
        for ratio, arguments, low, high in ranges:
            if not low <= ratio(*values[arguments]) <= high:
                return float("nan")
        return core(*values[:count])

    return call


def _within_columns(core: Compiled, count: int, ranges: list[_Range]) -> Compiled:
    def call(*values: Any) -> Any:
        result = core(*values[:count])
        for ratio, arguments, low, high in ranges:
            checked = ratio(*values[arguments])
            result = np.where((checked >= low) & (checked <= high), result, np.nan)
        return result

    return call


def _ordered(nodes: dict[str, Node]) -> dict[str, Node]:
    """Depth-first order over all routes together; a circle is refused with its path."""
    ordered: dict[str, Node] = {}
    path: dict[str, None] = {}

    def visit(id: str) -> None:
        if id in ordered:
            return
        node = nodes[id]
        if id in path:
            names = list(path)
            circle = [*names[names.index(id) :], id]
            raise RulebookError(
                [
                    Problem(
                        node.file,
                        node.line,
                        f"`{shown(id)}` depends on itself: {' <- '.join(shown(name) for name in circle)}.",
                        "Let one of them read inputs only (a `stated_...` quantity), the others read that.",
                    )
                ]
            )
        path[id] = None
        for route in node.routes:
            for name in route.names:
                if name in nodes:
                    visit(name)
        del path[id]
        ordered[id] = node

    for id in nodes:
        visit(id)
    return ordered
