"""Which names are known, by which route and on which assumptions: decided from names and choices, never from
values.
"""

from collections.abc import Iterable

from service.evaluation.known import Known
from service.evaluation.planning.lean import NOTHING, AssumedRows, Lean, Row, row_of
from service.rulebook.formulas.graph import Node, RouteNode
from service.rulebook.input import UNKNOWN
from service.rulebook.model import Guard
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook


class Resolution:
    """The names of one plan: how each is known, or what it lacks."""

    def __init__(self, rulebook: Rulebook, known: Known):
        self.rulebook = rulebook
        self.choices: dict[str, str] = dict(known.choices)
        self.leaves: dict[str, frozenset[str]] = {}
        self.preset: dict[str, float] = {}
        self.leans: dict[str, Lean] = {}
        self.routes: dict[str, RouteNode | None] = {}
        self.leaning: dict[str, frozenset[str]] = {}
        self.set_aside = known.set_aside
        self.given = set(known.numbers) | set(known.curves)
        for name in self.given:
            self.leaves[name] = NOTHING
        for constant in rulebook.constants.values():
            self._preset(constant.name, constant.value, NOTHING)
        self._tables()
        self._assumptions()

    def _preset(self, name: str, value: float, leaning: frozenset[str]) -> None:
        self.leaves[name] = leaning
        self.preset[name] = value

    def _tables(self) -> None:
        for table in self.rulebook.tables.values():
            key = self.choices.get(table.key, UNKNOWN)
            row = table.rows[key]
            leaning = NOTHING
            if key == UNKNOWN:
                leaning = frozenset({f"table:{table.name}"})
                self.leans[f"table:{table.name}"] = Lean(f"table:{table.name}", table.key, None, table.name)
            for column, cell in row.cells.items():
                if isinstance(cell, str):
                    self.choices[f"{table.name}.{column}"] = cell
                else:
                    self._preset(identifier(f"{table.name}.{column}"), cell, leaning)

    def _assumptions(self) -> None:
        assumptions = self.rulebook.assumptions
        rows = self.rulebook.kept.once(AssumedRows, lambda: AssumedRows(assumptions.values()))
        for assumed in rows.fitting(self.choices, self.given):
            self.leans[assumed.lean.id] = assumed.lean
            self.preset.update(assumed.figures)
            self.leaves.update(assumed.leaning)

    def row_of(self, by: tuple[str, ...], rows: Iterable[tuple[tuple[str, ...], Row]]) -> Row | None:
        """Of rows with a pattern of words each (`*`: any), the first that fits the choices made."""
        return row_of(self.choices, by, rows)

    def holds(self, guard: Guard) -> bool:
        """Whether the choices made satisfy a guard."""
        return all(self.choices.get(choice, UNKNOWN) in words for choice, words in guard.items())

    def open(self, route: RouteNode) -> bool:
        """Whether guards and names given leave a route open."""
        told = route.route
        return (
            (not route.when or self.holds(route.when))
            and (not told.without or self.given.isdisjoint(told.without))
            and (not told.given or self.given.issuperset(told.given))
        )

    def known(self, name: str) -> bool:
        return name in self.leaves or self.route(name) is not None

    def lean(self, name: str) -> frozenset[str]:
        """The assumptions behind a known name."""
        leaning = self.leaves.get(name)
        if leaning is None:
            self.route(name)
            leaning = self.leaning[name]
        return leaning

    def route(self, name: str) -> RouteNode | None:
        """The route taken to a quantity: the first that rests on nothing, else the first that can be run."""
        if name in self.routes:
            return self.routes[name]
        node = self.rulebook.graph.nodes.get(name)
        chosen, leaning = None, NOTHING
        for route in node.routes if node else ():
            if not self.open(route):
                continue
            needs = self._leaning(route)
            if needs is None:
                continue
            if chosen is None or not needs:
                chosen, leaning = route, needs
            if not needs:
                break
        self.routes[name] = chosen
        if chosen:
            self.leaning[name] = leaning
        return chosen

    def _leaning(self, route: RouteNode) -> frozenset[str] | None:
        """The assumptions behind the names that a route reads; None where one of them is unknown."""
        leaning = NOTHING
        leaves, routes = self.leaves, self.routes
        for name in route.names:
            behind = leaves.get(name)
            if behind is None:
                if (routes[name] if name in routes else self.route(name)) is None:
                    return None
                behind = self.leaning[name]
            if behind and behind is not leaning:
                leaning = leaning | behind if leaning else behind
        return leaning

    def agreeing(self, node: Node) -> list[RouteNode]:
        """The routes to a quantity that can be run on given numbers alone."""
        return [
            route
            for route in node.routes
            if self.open(route) and all(self.known(used) and not self.lean(used) for used in route.names)
        ]
