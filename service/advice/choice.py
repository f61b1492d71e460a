"""The best set of parts by verdict tables: a constraint model with one variable a slot (OR-tools CP-SAT)."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy
from numpy.typing import NDArray

from service.advice.candidates import Candidate
from service.advice.verdict_tables import VerdictTable
from service.catalog.catalog import go_together
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.judging.judge_columns import IntColumn

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

OBJECTIVES = ("cheapest", "widest_margin", "fewest_changes")
# Margins are shares of a limit; the solver counts in ten-thousandths and looks no further than this.
MARGIN_STEPS, MOST_MARGIN = 10_000, 5.0
# What comes first in an objective outweighs any price.
FIRST = 10**9
# The solver's own measure of work, the same on every machine; no clock.
MOST_WORK = 20.0

# Positions of the candidates chosen, by slot.
Chosen = dict[str, int]


@cache
def _solver() -> Any:
    """The solver's module, imported when parts are first chosen: it takes a third of a second."""
    from ortools.sat.python import cp_model

    return cp_model


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wanted of a set.

    The objective, the worst verdict allowed, the budget in hundredths; the present parts, and the fields the
    build states.
    """

    objective: str
    allowed: str
    budget: int | None
    current: dict[str, str] = field(default_factory=dict)
    stated: frozenset[str] = frozenset()


def margin_steps(table: VerdictTable) -> IntColumn:
    """The least margin of each combination over the checks of a table, in steps."""
    margins = numpy.min(list(table.margin.values()), axis=0)
    steps = numpy.floor(margins * MARGIN_STEPS)
    kept: IntColumn = numpy.clip(steps, -MARGIN_STEPS, MOST_MARGIN * MARGIN_STEPS).astype(int)
    return kept


@dataclass(slots=True)
class Solution:
    """The set chosen; None where there is no such set. `proved`: by the solver; `broken`: the checks a near
    miss breaks.
    """

    chosen: Chosen | None
    proved: bool
    broken: list[str] = field(default_factory=list)


class Chooser:
    """A model of one selection; sets already seen can be ruled out and the next best one asked for."""

    def __init__(self, open_slots: dict[str, list[Candidate]], tables: list[VerdictTable], wish: Wish):
        self.open_slots, self.tables, self.wish = open_slots, tables, wish
        self.model = _solver().CpModel()
        self.slots = {
            slot: self.model.new_int_var(0, len(parts) - 1, slot) for slot, parts in open_slots.items()
        }
        self.taken = {
            slot: [self._is(slot, position) for position in range(len(parts))]
            for slot, parts in open_slots.items()
        }
        self._fit()
        self.price = sum(
            candidate.part.price * taken
            for slot, parts in open_slots.items()
            for candidate, taken in zip(parts, self.taken[slot], strict=True)
        )
        if wish.budget is not None:
            self.model.add(self.price <= wish.budget)

    def require(self, least: int | None = None) -> None:
        """Every check within what is allowed, no margin below `least`; and the objective.

        Changes come first where they count, then the price.
        """
        for table in self.tables:
            good = numpy.max(list(table.severity.values()), axis=0) <= SEVERITY[self.wish.allowed]
            self._allow(table, good if least is None else good & (margin_steps(table) >= least))
        if self.wish.objective == "fewest_changes":
            changes = sum(
                1 - self.taken[slot][position]
                for slot, number in self.wish.current.items()
                for position, candidate in enumerate(self.open_slots.get(slot, ()))
                if candidate.part.number == number
            )
            self.model.minimize(changes * FIRST + self.price)
        else:
            self.model.minimize(self.price)

    def forbid(self, chosen: Chosen) -> None:
        """Not this set again."""
        self.model.add_forbidden_assignments([self.slots[slot] for slot in chosen], [tuple(chosen.values())])

    def best(self) -> Solution:
        """The best set under the objective; `proved` where the solver went through all of them."""
        return self._solution({})

    def nearest_miss(self) -> Solution:
        """Where no set will do: the set that breaks the fewest checks, and of equal ones the cheapest."""
        broken: dict[str, cp_model.IntVar] = {}
        for table in self.tables:
            for check, severity in table.severity.items():
                good = severity <= SEVERITY[self.wish.allowed]
                if not good.all():
                    broken[check] = self.model.new_bool_var(f"{check} is broken")
                    self._tell_broken(table, good, broken[check])
        self.model.minimize(sum(broken.values()) * FIRST + self.price)
        return self._solution(broken)

    def has_a_set(self) -> Solution:
        """Any set at all, whatever its price."""
        self.model.clear_objective()
        return self.best()

    def _solution(self, broken: dict[str, cp_model.IntVar]) -> Solution:
        solver = _solver().CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.max_deterministic_time = MOST_WORK
        status = solver.solve(self.model)
        if status not in (_solver().OPTIMAL, _solver().FEASIBLE):
            return Solution(None, status == _solver().INFEASIBLE)
        chosen = {slot: solver.value(variable) for slot, variable in self.slots.items()}
        missed = [check for check, is_broken in broken.items() if solver.value(is_broken)]
        return Solution(chosen, status == _solver().OPTIMAL, missed)

    def _is(self, slot: str, position: int) -> cp_model.IntVar:
        """A variable that is true where this candidate is taken."""
        taken: cp_model.IntVar = self.model.new_bool_var(f"{slot}={position}")
        self.model.add(self.slots[slot] == position).only_enforce_if(taken)
        self.model.add(self.slots[slot] != position).only_enforce_if(~taken)
        return taken

    def _fit(self) -> None:
        """No two parts that do not go together."""
        slots = list(self.open_slots)
        for place, slot in enumerate(slots):
            for other_slot in slots[place + 1 :]:
                pairs = [
                    (position, other_position)
                    for position, candidate in enumerate(self.open_slots[slot])
                    for other_position, other in enumerate(self.open_slots[other_slot])
                    if not go_together([candidate.part, other.part], self.wish.stated)
                ]
                if pairs:
                    self.model.add_forbidden_assignments([self.slots[slot], self.slots[other_slot]], pairs)

    def _allow(self, table: VerdictTable, good: NDArray[numpy.bool_]) -> None:
        """Only combinations of a table that are good."""
        if good.all():
            return
        if good.ndim:
            rows = [tuple(map(int, row)) for row in zip(*numpy.nonzero(good), strict=True)]
            self.model.add_allowed_assignments(self._variables(table), rows)
        else:
            self.model.add_bool_and([False])

    def _tell_broken(self, table: VerdictTable, good: NDArray[numpy.bool_], broken: cp_model.IntVar) -> None:
        """Has a variable say whether the combination chosen is one that is not good."""
        if good.ndim:
            rows = [(*map(int, place), int(not kept)) for place, kept in numpy.ndenumerate(good)]
            self.model.add_allowed_assignments([*self._variables(table), broken], rows)
        else:
            self.model.add(broken == 1)

    def _variables(self, table: VerdictTable) -> list[cp_model.IntVar]:
        """For each slot the class of the part chosen; the slot itself where every candidate is a class of its
        own.
        """
        variables = []
        for slot, classes in zip(table.slots, table.classes, strict=True):
            if classes == list(range(len(classes))):
                variables.append(self.slots[slot])
            else:
                variable = self.model.new_int_var(0, max(classes), f"class in {slot}")
                self.model.add_element(self.slots[slot], classes, variable)
                variables.append(variable)
        return variables


def widest(
    open_slots: dict[str, list[Candidate]], tables: list[VerdictTable], wish: Wish, ruled_out: list[Chosen]
) -> tuple[Chooser, bool]:
    """A chooser over the sets whose least margin is the widest there is, and whether that margin is proved.

    Sets ruled out are left out. The margin is found by halving over the margins there are, each time asking
    whether a set has it.
    """
    margins = sorted({int(step) for table in tables for step in numpy.unique(margin_steps(table))})
    steps: list[int | None] = list(margins) or [None]
    low, high, proved = 0, len(steps) - 1, True

    def chooser(least: int | None) -> Chooser:
        limited = Chooser(open_slots, tables, wish)
        limited.require(least)
        for chosen in ruled_out:
            limited.forbid(chosen)
        return limited

    while low < high:
        middle = (low + high + 1) // 2
        solution = chooser(steps[middle]).has_a_set()
        if solution.chosen is None:
            high, proved = middle - 1, proved and solution.proved
        else:
            low = middle
    return chooser(steps[low]), proved
