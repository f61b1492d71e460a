"""The steps of a run: every wanted quantity after what it reads, function steps once for all their results and points."""

import ast
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from service.evaluation.planning.resolve import Resolution
from service.rulebook.formulas.functions import FUNCTIONS
from service.rulebook.formulas.graph import Graph, Node, RouteNode


@dataclass(slots=True)
class Row:
    """One operating point of a function step: where its arguments are and where each result goes (-1: not wanted)."""

    arguments: tuple[int, ...]
    slots: tuple[int, ...]


@dataclass(slots=True)
class Step:
    """One call of a run. `rows` is empty for a formula; one row for a function step, several when called together."""

    call: Callable
    fetch: Callable
    slot: int
    arguments: frozenset[int]
    rows: list[Row]
    together: bool
    node: Node
    route: RouteNode
    source: int = -1


def make_steps(graph: Graph, resolution: Resolution, wanted: Iterable[str]) -> list[Step]:
    """The steps behind the wanted names, each after those that fill its arguments."""
    needed = _needed(graph, resolution, wanted)
    steps: dict[object, Step] = {}
    for node in (node for name, node in graph.nodes.items() if name in needed):
        route = resolution.route(node.id)
        arguments = tuple(graph.slots[name] for name in route.names)
        function = node.quantity.function
        if function is None:
            if route.step is None:
                route.step = _formula_step(node, route, arguments)
            steps[node.id] = route.step
            continue
        key = (id(function), None if function.together else node.point)
        results = len(FUNCTIONS[function.function].results)
        if key not in steps:
            steps[key] = Step(
                route.columns if function.together else route.call,
                route.fetch,
                node.slot,
                frozenset(),
                [],
                function.together,
                node,
                route,
            )
        step = steps[key]
        row = next((row for row in step.rows if row.arguments == arguments), None)
        if row is None:
            row = Row(arguments, (-1,) * results)
            step.rows.append(row)
            step.arguments |= frozenset(arguments)
        slots = list(row.slots)
        slots[node.quantity.position] = node.slot
        row.slots = tuple(slots)
    return _ordered(list(steps.values()))


def _formula_step(node: Node, route: RouteNode, arguments: tuple[int, ...]) -> Step:
    """The step of a formula; the same for every plan that takes this route."""
    # A route that is one bare name only takes a value over; the run copies it without a call.
    source = (
        arguments[0]
        if isinstance(route.formula.tree, ast.Name) and not route.route.valid and len(arguments) == 1
        else -1
    )
    return Step(route.call, route.fetch, node.slot, frozenset(arguments), [], False, node, route, source)


def _needed(graph: Graph, resolution: Resolution, wanted: Iterable[str]) -> set[str]:
    needed: set[str] = set()
    waiting = list(wanted)
    while waiting:
        name = waiting.pop()
        if name not in needed and name in graph.nodes and name not in resolution.leaves:
            needed.add(name)
            waiting += resolution.route(name).names
    return needed


def _ordered(steps: list[Step]) -> list[Step]:
    """Depth first by argument slots: a step for all points has to wait for what each of its points reads."""
    filled = {slot: step for step in steps for slot in _results(step)}
    ordered: dict[int, Step] = {}

    def visit(step: Step) -> None:
        if id(step) in ordered:
            return
        for slot in sorted(step.arguments):
            if slot in filled:
                visit(filled[slot])
        ordered[id(step)] = step

    for step in steps:
        visit(step)
    return list(ordered.values())


def _results(step: Step) -> list[int]:
    return [slot for row in step.rows for slot in row.slots if slot >= 0] or [step.slot]
