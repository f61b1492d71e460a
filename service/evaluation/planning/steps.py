"""The steps of a run: each quantity after what it reads, function steps once for all their results and
points.
"""

import ast
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any

from service.evaluation.planning.resolve import Resolution
from service.rulebook.formulas.functions import FUNCTIONS
from service.rulebook.formulas.graph import Graph, Node, RouteNode

# A slot that nobody wants filled, or that there is none of.
NO_SLOT = -1
Arguments = tuple[Any, ...]


@dataclass(slots=True)
class Row:
    """One operating point of a function step: where its arguments are and where each result goes (or
    NO_SLOT).
    """

    arguments: tuple[int, ...]
    slots: tuple[int, ...]


@dataclass(slots=True)
class Step:
    """One call of a run: a formula (no rows), or a registered function for the rows it is asked for.

    A formula gives one number, a function one result for each slot of a row; `source`: the slot a formula
    only copies.
    """

    call: Callable[..., Any]
    fetch: Callable[[list[float]], Arguments]
    slot: int
    arguments: frozenset[int]
    rows: list[Row]
    together: bool
    node: Node
    route: RouteNode
    source: int = NO_SLOT


# Why steps have rows.
#
# A function such as the engine cycle has several results (pressure, temperature, work ...), and each result
# is a quantity at each operating point:
#
#                         at peak_torque    at peak_power
#     end_gas_pressure        node              node
#     end_gas_temperature     node              node          six nodes, but one call does them all
#     net_work                node              node
#
# Nodes of one function and one operating point read the same arguments and share a row: it says where the
# arguments stand and into which slot each result goes. A function that takes columns (`together`) gets one
# step for all points, called once with a column a parameter and a row an operating point, since an integral
# over two columns costs little more than over one number. Any other function gets a step a point. So a step
# that is called together has to wait for what each of its points reads, and `_ordered` sorts by slots, not by
# names.
def make_steps(graph: Graph, resolution: Resolution, names: Iterable[str]) -> list[Step]:
    """The steps behind the wanted names, each after those that fill its arguments."""
    needed = _needed(graph, resolution, names)
    steps: dict[object, Step] = {}
    for node in (node for name, node in graph.nodes.items() if name in needed):
        route = route_taken(resolution, node.id)
        arguments = tuple([graph.slots[name] for name in route.names])
        function = node.quantity.function
        if function is None:
            steps[node.id] = route.kept.once(Step, partial(_formula_step, node, route, arguments))
            continue
        key = (id(function), None if function.together else node.point)
        if key not in steps:
            steps[key] = _function_step(node, route, function.together)
        _add_result(steps[key], node, arguments, len(FUNCTIONS[function.function].results))
    return _ordered(list(steps.values()))


def route_taken(resolution: Resolution, name: str) -> RouteNode:
    """The route to a quantity that is known."""
    route = resolution.route(name)
    assert route is not None, f"{name} is needed and has no route"
    return route


def _formula_step(node: Node, route: RouteNode, arguments: tuple[int, ...]) -> Step:
    """The step of a formula; the same for every plan that takes this route."""
    # A route that is one bare name only takes a value over; the run copies it without a call.
    copies = isinstance(route.route.formula.tree, ast.Name) and not route.route.valid and len(arguments) == 1
    source = arguments[0] if copies else NO_SLOT
    return Step(route.call, route.fetch, node.slot, frozenset(arguments), [], False, node, route, source)


def _function_step(node: Node, route: RouteNode, together: bool) -> Step:
    call = route.columns if together else route.call
    return Step(call, route.fetch, node.slot, frozenset(), [], together, node, route)


def _add_result(step: Step, node: Node, arguments: tuple[int, ...], results: int) -> None:
    """Has the step fill one more node, in the row that reads these arguments."""
    row = next((row for row in step.rows if row.arguments == arguments), None)
    if row is None:
        row = Row(arguments, (NO_SLOT,) * results)
        step.rows.append(row)
        step.arguments |= frozenset(arguments)
    slots = list(row.slots)
    slots[node.quantity.position] = node.slot
    row.slots = tuple(slots)


def _needed(graph: Graph, resolution: Resolution, names: Iterable[str]) -> set[str]:
    needed: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name not in needed and name in graph.nodes and name not in resolution.leaves:
            needed.add(name)
            waiting += route_taken(resolution, name).names
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
