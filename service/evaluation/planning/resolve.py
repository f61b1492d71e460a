"""Which names are known, by which route and leaning on which assumptions; decided from names and choices, never from values."""

from dataclasses import dataclass

from service.evaluation.known import Known
from service.rulebook.formulas.graph import Node, RouteNode
from service.rulebook.input import UNKNOWN
from service.rulebook.model import AssumptionRow, Guard
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook

NOTHING: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Lean:
    """An assumption as this build leans on it: the row taken, or the `unknown` row of a table."""

    id: str
    input: str | None
    row: AssumptionRow | None
    table: str | None = None


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
        for one in self.rulebook.assumptions.values():
            words = tuple(self.choices.get(choice, UNKNOWN) for choice in one.by)
            for row in one.rows:
                if all(wanted in ("*", word) for wanted, word in zip(row.pattern, words)):
                    self.leans[one.name] = Lean(one.name, one.stands_for, row)
                    # A figure without spread for a choice that was made is a fact of that choice; nothing leans on it.
                    settled = row.low == row.high and one.stands_for in self.choices
                    leaning = NOTHING if settled else frozenset({one.name})
                    self._preset(f"assumed__{one.name}", row.typical, leaning)
                    # The ends are what is usual, a fact to judge against; only the typical value stands in for an input.
                    self._preset(f"lowest__{one.name}", row.low, NOTHING)
                    self._preset(f"highest__{one.name}", row.high, NOTHING)
                    break

    def holds(self, guard: Guard) -> bool:
        """Whether the choices made satisfy a guard."""
        for choice, words in guard.items():
            if self.choices.get(choice, UNKNOWN) not in words:
                return False
        return True

    def open(self, route: RouteNode) -> bool:
        """Whether guards and names given leave a route open."""
        return (
            self.holds(route.when)
            and self.given.isdisjoint(route.route.without)
            and self.given.issuperset(route.route.given)
        )

    def known(self, name: str) -> bool:
        return name in self.leaves or self.route(name) is not None

    def lean(self, name: str) -> frozenset[str]:
        """The assumptions a known name leans on."""
        leaning = self.leaves.get(name)
        if leaning is None:
            self.route(name)
            leaning = self.leaning[name]
        return leaning

    def route(self, name: str) -> RouteNode | None:
        """The route taken to a quantity: the first that leans on nothing, else the first that can be run."""
        if name in self.routes:
            return self.routes[name]
        node = self.rulebook.graph.nodes.get(name)
        chosen, leaning = None, NOTHING
        for route in node.routes if node else ():
            if not self.open(route) or not all(self.known(used) for used in route.names):
                continue
            needs = NOTHING.union(*(self.lean(used) for used in route.names))
            if chosen is None or not needs:
                chosen, leaning = route, needs
            if not needs:
                break
        self.routes[name] = chosen
        if chosen:
            self.leaning[name] = leaning
        return chosen

    def agreeing(self, node: Node) -> list[RouteNode]:
        """The routes to a quantity that can be run on given numbers alone."""
        return [
            route
            for route in node.routes
            if self.open(route) and all(self.known(used) and not self.lean(used) for used in route.names)
        ]
