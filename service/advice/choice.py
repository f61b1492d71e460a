"""The best set of parts outside some boxes: a constraint model with one variable a part (OR-tools CP-SAT)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy

from service.advice.boxes import Box, Chosen
from service.advice.work_left import WorkLeft
from service.evaluation.judging.judge_columns import IntColumn
from service.extra import need_extra

OBJECTIVES = ("cheapest", "widest_margin", "fewest_changes")
# What comes first in an objective outweighs any price.
FIRST = 10**9


@cache
def _solver() -> Any:
    """The solver's module, imported when parts are first chosen: it takes a third of a second."""
    need_extra("solver", "ortools")
    from ortools.sat.python import cp_model

    return cp_model


@dataclass(frozen=True, slots=True)
class Costs:
    """Of every candidate its price, and what it counts under the objective; the most that the prices may come
    to.
    """

    prices: Mapping[str, IntColumn]
    counts: Mapping[str, IntColumn]
    budget: int | None


@dataclass(slots=True)
class Solution:
    """The set chosen; None where there is no such set. `proved`: by the solver; `broken`: the checks whose
    boxes it lies in.
    """

    chosen: Chosen | None
    proved: bool
    broken: list[str] = field(default_factory=list)


def best_outside(costs: Costs, boxes: Sequence[Box], work: WorkLeft) -> Solution:
    """The set that counts least and lies in no box."""
    return _Model(costs, boxes, breakable=False).solution(work)


def least_broken(costs: Costs, boxes: Sequence[Box], work: WorkLeft) -> Solution:
    """The set in the boxes of as few checks as can be, and of equal ones the least; boxes that are of no
    check hold.
    """
    return _Model(costs, boxes, breakable=True).solution(work)


# A catalog has many parts, and few of them can be in a best set: of two parts of a slot the one that costs no
# more and lies in no box that the other is not in takes its place in any set, which stays within the budget
# and outside every box and counts no more. So the model has only parts of which no other does that; sets seen
# before are boxes as well, and let the next part in when the one before it is spent.
class _Model:
    def __init__(self, costs: Costs, boxes: Sequence[Box], breakable: bool):
        self.costs, self.boxes = costs, boxes
        self.kept = {slot: self._worth_looking_at(slot) for slot in costs.prices}
        self.model = _solver().CpModel()
        self.taken = {
            slot: [self.model.new_bool_var("") for _ in positions] for slot, positions in self.kept.items()
        }
        for choices in self.taken.values():
            self.model.add_exactly_one(choices)
        checks = dict.fromkeys(box.check for box in boxes if breakable and box.check)
        self.broken = {check: self.model.new_bool_var("") for check in checks}
        self.ways = 0
        for box in boxes:
            ways = self._ways_out(box)
            self.model.add_bool_or(ways)
            self.ways += len(ways)
        if costs.budget is not None:
            self.model.add(self._sum(costs.prices) <= costs.budget)
        self.model.minimize(sum(self.broken.values()) * FIRST + self._sum(costs.counts))

    def solution(self, work: WorkLeft) -> Solution:
        """What the solver finds with the work that is left."""
        solver = _solver().CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.max_deterministic_time = work.solver_limit()
        status = solver.solve(self.model)
        work.spend(self.ways, solver.response_proto.deterministic_time)
        if status not in (_solver().OPTIMAL, _solver().FEASIBLE):
            return Solution(None, status == _solver().INFEASIBLE)
        chosen = {
            slot: int(self.kept[slot][[solver.boolean_value(choice) for choice in choices]][0])
            for slot, choices in self.taken.items()
        }
        broken = [check for check, is_broken in self.broken.items() if solver.boolean_value(is_broken)]
        return Solution(chosen, status == _solver().OPTIMAL, broken)

    def _ways_out(self, box: Box) -> list[Any]:
        """The choices that leave a box; one that breaks its check is one where checks may be broken."""
        ways = [
            choice
            for slot, inside in box.sides.items()
            for choice, is_inside in zip(self.taken[slot], inside[self.kept[slot]], strict=True)
            if not is_inside
        ]
        return [*ways, self.broken[box.check]] if box.check in self.broken else ways

    def _sum(self, counts: Mapping[str, IntColumn]) -> Any:
        chosen = [choice for choices in self.taken.values() for choice in choices]
        weights = numpy.concatenate([counts[slot][self.kept[slot]] for slot in self.taken])
        return _solver().LinearExpr.weighted_sum(chosen, weights.tolist())

    def _worth_looking_at(self, slot: str) -> IntColumn:
        """The candidates of a slot, least first, of which no other takes the place."""
        order = numpy.lexsort((self.costs.prices[slot], self.costs.counts[slot]))
        inside = [box.sides[slot][order] for box in self.boxes if slot in box.sides]
        packed = (
            numpy.packbits(numpy.array(inside), axis=0).T if inside else numpy.zeros((len(order), 1), "u1")
        )
        firsts = _firsts(packed, self.costs.prices[slot][order], self.costs.budget is not None)
        kept: list[int] = []
        for place in firsts:
            others = packed[kept]
            covers = ~(others & ~packed[place]).any(axis=1)
            if self.costs.budget is not None:
                covers &= self.costs.prices[slot][order[kept]] <= self.costs.prices[slot][order[place]]
            if not covers.any():
                kept.append(place)
        return order[kept]


def _firsts(packed: Any, prices: IntColumn, budgeted: bool) -> list[int]:
    """Of those that lie in the same boxes the first; within a budget also every cheaper one after it."""
    least: dict[bytes, int] = {}
    firsts = []
    for place, boxes in enumerate(packed):
        key = boxes.tobytes()
        if key not in least or (budgeted and prices[place] < least[key]):
            least[key] = int(prices[place])
            firsts.append(place)
    return firsts
