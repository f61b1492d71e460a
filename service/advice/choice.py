"""The best set of parts by verdict tables: a constraint model with one variable a slot (OR-tools CP-SAT)."""

from dataclasses import dataclass, field

import numpy
from ortools.sat.python import cp_model

from service.advice.candidates import Candidate
from service.advice.verdict_tables import VerdictTable
from service.catalog.catalog import go_together
from service.evaluation.judging.judge import SEVERITY

OBJECTIVES = ("cheapest", "widest_margin", "fewest_changes")
# Margins are shares of a limit; the solver counts in ten-thousandths and looks no further than this.
MARGIN_STEPS, MOST_MARGIN = 10_000, 5.0
# What comes first in an objective outweighs any price.
FIRST = 10**9
# The solver's own measure of work, the same on every machine; no clock.
MOST_WORK = 20.0


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wanted of a set: the objective, the worst verdict allowed, the budget in hundredths; the present parts, and the fields the build states."""

    objective: str
    allowed: str
    budget: int | None
    current: dict[str, str] = field(default_factory=dict)
    stated: frozenset[str] = frozenset()


def margin_steps(table: VerdictTable) -> numpy.ndarray:
    """The least margin of each combination over the checks of a table, in steps."""
    margins = numpy.min(list(table.margin.values()), axis=0)
    return numpy.clip(numpy.floor(margins * MARGIN_STEPS), -MARGIN_STEPS, MOST_MARGIN * MARGIN_STEPS).astype(
        int
    )


@dataclass(slots=True)
class Found:
    """Positions of the candidates chosen, by slot; None where there is no such set. `proved`: by the solver."""

    chosen: dict[str, int] | None
    proved: bool


class Chooser:
    """A model of one selection; sets already seen can be ruled out and the next best one asked for."""

    def __init__(self, open_slots: dict[str, list[Candidate]], tables: list[VerdictTable], wish: Wish):
        self.open_slots, self.tables, self.wish = open_slots, tables, wish
        self.model = cp_model.CpModel()
        self.slots = {
            slot: self.model.new_int_var(0, len(parts) - 1, slot) for slot, parts in open_slots.items()
        }
        self.taken = {
            slot: [self._is(slot, position) for position in range(len(parts))]
            for slot, parts in open_slots.items()
        }
        self._fit()
        self.price = sum(
            part.part.price * taken
            for slot, parts in open_slots.items()
            for part, taken in zip(parts, self.taken[slot])
        )
        if wish.budget is not None:
            self.model.add(self.price <= wish.budget)

    def _is(self, slot: str, position: int) -> cp_model.IntVar:
        taken = self.model.new_bool_var(f"{slot}={position}")
        self.model.add(self.slots[slot] == position).only_enforce_if(taken)
        self.model.add(self.slots[slot] != position).only_enforce_if(~taken)
        return taken

    def _fit(self) -> None:
        """No two parts that do not go together."""
        slots = list(self.open_slots)
        for place, slot in enumerate(slots):
            for other in slots[place + 1 :]:
                pairs = [
                    (one, two)
                    for one, first in enumerate(self.open_slots[slot])
                    for two, second in enumerate(self.open_slots[other])
                    if not go_together([first.part, second.part], self.wish.stated)
                ]
                if pairs:
                    self.model.add_forbidden_assignments([self.slots[slot], self.slots[other]], pairs)

    def require(self, least: int | None = None) -> None:
        """Every check within what is allowed, no margin below `least`; and the objective: changes first where they count, then the price."""
        for table in self.tables:
            good = numpy.max(list(table.severity.values()), axis=0) <= SEVERITY[self.wish.allowed]
            self._allow(table, good if least is None else good & (margin_steps(table) >= least))
        if self.wish.objective == "fewest_changes":
            changes = sum(
                1 - self.taken[slot][position]
                for slot, number in self.wish.current.items()
                for position, part in enumerate(self.open_slots.get(slot, ()))
                if part.part.number == number
            )
            self.model.minimize(changes * FIRST + self.price)
        else:
            self.model.minimize(self.price)

    def _allow(self, table: VerdictTable, good: numpy.ndarray) -> None:
        if not good.all():
            self._rows(self._variables(table), good)

    def _rows(self, variables: list, good: numpy.ndarray) -> None:
        if good.ndim:
            self.model.add_allowed_assignments(
                variables, [tuple(map(int, row)) for row in zip(*numpy.nonzero(good))]
            )
        else:
            self.model.add_bool_and([False])

    def _variables(self, table: VerdictTable) -> list[cp_model.IntVar]:
        """For each slot the class of the part chosen; the slot itself where every candidate is a class of its own."""
        made = []
        for slot, classes in zip(table.slots, table.classes):
            if classes == list(range(len(classes))):
                made.append(self.slots[slot])
            else:
                own = self.model.new_int_var(0, max(classes), f"class in {slot}")
                self.model.add_element(self.slots[slot], classes, own)
                made.append(own)
        return made

    def forbid(self, chosen: dict[str, int]) -> None:
        """Not this set again."""
        self.model.add_forbidden_assignments([self.slots[slot] for slot in chosen], [tuple(chosen.values())])

    def nearest_miss(self) -> tuple[Found, list[str]]:
        """Where no set will do: the set that breaks the fewest checks, and of equal ones the cheapest; which checks it breaks."""
        broken = {}
        for table in self.tables:
            variables = self._variables(table)
            for check, severity in table.severity.items():
                good = severity <= SEVERITY[self.wish.allowed]
                if good.all():
                    continue
                broken[check] = self.model.new_bool_var(f"{check} is broken")
                if good.ndim:
                    self.model.add_allowed_assignments(
                        [*variables, broken[check]],
                        [(*map(int, place), int(not kept)) for place, kept in numpy.ndenumerate(good)],
                    )
                else:
                    self.model.add(broken[check] == 1)
        self.model.minimize(sum(broken.values()) * FIRST + self.price)
        found = self.best()
        return found, [
            check for check, is_broken in broken.items() if found.chosen and self.solver.value(is_broken)
        ]

    def best(self) -> Found:
        """The best set under the objective; `proved` where the solver went through all of them."""
        self.solver = cp_model.CpSolver()
        self.solver.parameters.num_workers = 1
        self.solver.parameters.random_seed = 1
        self.solver.parameters.max_deterministic_time = MOST_WORK
        status = self.solver.solve(self.model)
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Found(
                {slot: self.solver.value(variable) for slot, variable in self.slots.items()},
                status == cp_model.OPTIMAL,
            )
        return Found(None, status == cp_model.INFEASIBLE)


def widest(
    open_slots: dict[str, list[Candidate]],
    tables: list[VerdictTable],
    wish: Wish,
    ruled_out: list[dict[str, int]],
) -> tuple[Chooser, bool]:
    """A chooser over the sets whose least margin is the widest there is, but for those ruled out; and whether that margin is proved.

    The margin is found by halving over the margins there are, each time asking whether a set has it.
    """
    steps = sorted({int(step) for table in tables for step in numpy.unique(margin_steps(table))}) or [None]
    low, high, proved = 0, len(steps) - 1, True

    def chooser(least: int | None) -> Chooser:
        made = Chooser(open_slots, tables, wish)
        made.require(least)
        for chosen in ruled_out:
            made.forbid(chosen)
        return made

    while low < high:
        middle = (low + high + 1) // 2
        tried = chooser(steps[middle])
        tried.model.clear_objective()
        found = tried.best()
        if found.chosen is None:
            high, proved = middle - 1, proved and found.proved
        else:
            low = middle
    return chooser(steps[low]), proved
