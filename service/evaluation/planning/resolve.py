"""Which names are known, by which route and on which assumptions: decided from names and choices, never from
values.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeVar

from service.evaluation.known import Known
from service.rulebook.formulas.graph import Node, RouteNode
from service.rulebook.input import UNKNOWN
from service.rulebook.model import AssumptionRow, Guard
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook

NOTHING: frozenset[str] = frozenset()
Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Lean:
    """An assumption as this build takes it: the row that fits, or the `unknown` row of a table.

    `stated`: its input was given, and the row says how far what was given may differ from the typical figure.
    """

    id: str
    input: str | None
    row: AssumptionRow | None
    table: str | None = None
    stated: bool = False

    @property
    def certain_row(self) -> AssumptionRow:
        """The row of an assumption that is no table."""
        assert self.row is not None, f"{self.id} is a table"
        return self.row

    @property
    def ends(self) -> tuple[float, ...]:
        """Between which figures the right one may lie, without an end that is the typical figure; none for a
        table.
        """
        if self.row is None:
            return ()
        return tuple(end for end in dict.fromkeys((self.row.low, self.row.high)) if end != self.row.typical)


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
        for assumption in self.rulebook.assumptions.values():
            row = self.row_of(assumption.by, [(row.pattern, row) for row in assumption.rows])
            if row is None:
                continue
            name, input_path = assumption.name, assumption.stands_for
            stated = input_path in self.choices or bool(input_path and identifier(input_path) in self.given)
            self.leans[name] = Lean(name, input_path, row, stated=stated)
            # A figure without spread for a choice that was made is a fact of that choice: nothing is assumed.
            settled = stated and row.low == row.high
            self._preset(f"assumed__{name}", row.typical, NOTHING if settled else frozenset({name}))
            # The ends are what is usual, a fact to judge against; only the typical value stands in for an
            # input.
            self._preset(f"lowest__{name}", row.low, NOTHING)
            self._preset(f"highest__{name}", row.high, NOTHING)

    def row_of(self, by: tuple[str, ...], rows: Iterable[tuple[tuple[str, ...], Row]]) -> Row | None:
        """Of rows with a pattern of words each (`*`: any), the first that fits the choices made."""
        words = [self.choices.get(choice, UNKNOWN) for choice in by]
        for pattern, row in rows:
            if all(expected in ("*", word) for expected, word in zip(pattern, words, strict=True)):
                return row
        return None

    def holds(self, guard: Guard) -> bool:
        """Whether the choices made satisfy a guard."""
        return all(self.choices.get(choice, UNKNOWN) in words for choice, words in guard.items())

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
