"""The best sets of parts for one build: the solver proposes, the rules judge, and what they refuse is ruled
out in boxes as large as can be shown.

A set proposed is the best of all that lie in no box, and a box holds only sets that are refused. So the first
proposal that is not refused is the best there is, and where nothing is left to propose there is none.
"""

from collections.abc import Callable, Mapping
from math import floor
from typing import NamedTuple

import numpy

from service.advice.block_verdicts import MARGIN_STEPS, MOST_MARGIN, Asked
from service.advice.box_finder import BoxFinder
from service.advice.boxes import Box, Chosen, box_of, misfit_boxes
from service.advice.candidates import Candidate, added
from service.advice.check_blocks import Block, CheckBlocks
from service.advice.choice import Costs, Solution, best_outside, least_broken
from service.advice.slot_columns import SlotColumns
from service.advice.wish import Wish, costs, freest
from service.advice.work_left import WorkLeft
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.judging.judge_columns import BoolColumn
from service.evaluation.judging.judged_run import judge_run
from service.evaluation.known import Known
from service.evaluation.many import Outcomes, judge_many

# Sets thrown away because the build says something against itself, which no box holds.
MOST_CONTRADICTED = 60


class Standing(NamedTuple):
    """How a check stands in one set: how bad it is, and its margin in steps."""

    severity: int
    steps: int


class JudgedSet(NamedTuple):
    """A set that will do: which candidate of each slot, and what the whole build comes to."""

    chosen: Chosen
    outcomes: Outcomes


class Widest(NamedTuple):
    """A set of the widest least margin, and that margin in steps."""

    judged: JudgedSet
    steps: int


class SetSearch:
    """Searches the parts that could fill the open slots of one build; `proved`: no search was cut short."""

    def __init__(
        self,
        evaluator: Evaluator,
        known: Known,
        open_slots: Mapping[str, list[Candidate]],
        wish: Wish,
        checks: tuple[str, ...],
    ):
        self.evaluator, self.known, self.open_slots = evaluator, known, open_slots
        self.wish, self.checks = wish, checks
        self.allowed = SEVERITY[wish.allowed]
        self.prices = costs(open_slots, wish.budget)
        self.costs = costs(open_slots, wish.budget, wish.changes)
        self.slots = {slot: SlotColumns(slot, parts) for slot, parts in open_slots.items()}
        self.blocks = CheckBlocks(evaluator, known, self.slots, checks or tuple(evaluator.rulebook.checks))
        self.misfits = list(misfit_boxes(self.slots, wish.stated))
        self.refused: list[Box] = []
        self.seen: list[Box] = []
        self.work = WorkLeft()
        self.proved = True
        self._finders: dict[Block, BoxFinder] = {}
        self._whole: dict[int | None, list[Box]] = {}
        self._contradicted = 0

    def sets(self, most: int) -> list[JudgedSet]:
        """The best sets, the best first; by the widest margin only those of the same margin."""
        widest = self._widest() if self.wish.objective == "widest_margin" else None
        least = widest.steps if widest else None
        sets: list[JudgedSet] = []
        while len(sets) < most and (judged := self._best(least)):
            sets.append(judged)
            self.seen.append(box_of(self.slots, judged.chosen))
        # Where the work ended before the cheapest of this margin, the one that has it is offered.
        return sets if sets or widest is None else [widest.judged]

    def nearest_miss(self) -> Solution:
        """Where no set will do: the set that breaks the fewest checks, and of equal ones the cheapest, as far
        as the work goes.
        """
        asked = Asked(self.allowed)
        everything = {slot: numpy.ones(len(parts), bool) for slot, parts in self.open_slots.items()}
        while True:
            miss = least_broken(self.prices, [*self.misfits, *self._refused(None)], self.work)
            if miss.chosen is None or self.work.spent:
                break
            unseen = [
                check
                for check, standing in self._standings(miss.chosen).items()
                if standing.severity > self.allowed and check not in miss.broken
            ]
            if not unseen:
                break
            for check in unseen:
                self._rule_out(check, miss.chosen, asked, everything)
        return miss

    def with_parts(self, chosen: Chosen) -> Known:
        """The build with a set of parts."""
        known = self.known
        for slot, position in chosen.items():
            known = added(known, self.open_slots[slot][position])
        return known

    def judged(self, chosen: Chosen) -> Outcomes:
        """The whole build with a set of parts."""
        return judge_many(self.evaluator, [self.with_parts(chosen)], self.checks)[0]

    def _best(
        self, least: int | None, order: Callable[[Costs, list[Box]], Costs] | None = None
    ) -> JudgedSet | None:
        """The best set that has not been seen, with so much margin at least; by the objective, or in another
        order.
        """
        asked = Asked(self.allowed, least)
        while not self.work.spent and self._contradicted <= MOST_CONTRADICTED:
            boxes = [*self.misfits, *self._refused(least), *self.seen]
            solution = best_outside(order(self.costs, boxes) if order else self.costs, boxes, self.work)
            self.proved = self.proved and solution.proved
            if solution.chosen is None:
                return None
            if self._refuse(solution.chosen, asked, boxes):
                continue
            outcomes = self.judged(solution.chosen)
            if SEVERITY.get(outcomes.verdict, 0) <= self.allowed:
                return JudgedSet(solution.chosen, outcomes)
            self.seen.append(box_of(self.slots, solution.chosen))
            self._contradicted += 1
        self.proved = False
        return None

    def _widest(self) -> Widest | None:
        """A set of the widest least margin; None where no set will do.

        Each set found raises what is reached to the margin it has, each search in vain lowers what can be.
        """
        judged = self._best(None)
        if judged is None:
            return None
        widest, possible = Widest(judged, self._least_steps(judged.chosen)), self._most_steps()
        # With some margin left there is more to be shown than without (sure_verdicts.py), so that is asked
        # first.
        asked_for = max(widest.steps + 1, min(1, possible))
        while widest.steps < possible:
            judged = self._best(asked_for, freest)
            if judged is None:
                possible = asked_for - 1
            else:
                widest = Widest(judged, max(asked_for, self._least_steps(judged.chosen)))
            asked_for = (widest.steps + possible + 1) // 2
        return widest

    def _most_steps(self) -> int:
        """No set has more margin than the best part of any one slot leaves."""
        most = {slot: numpy.full(len(parts), _CAP) for slot, parts in self.open_slots.items()}
        least = _CAP
        for block in self.blocks.judged:
            assert block.verdicts is not None, "it is judged whole"
            if not block.lengths:
                least = min(least, int(block.verdicts.steps))
            elif len(block.lengths) == 1 and block.names:
                ((slot, positions),) = block.scope.items()
                most[slot][positions] = numpy.minimum(most[slot][positions], block.verdicts.steps)
        return min(least, *(int(steps.max()) for steps in most.values()))

    def _refuse(self, chosen: Chosen, asked: Asked, boxes: list[Box]) -> bool:
        """Rules out boxes around a set for every check that refuses it."""
        alive: dict[str, BoolColumn] | None = None
        standings = self._standings(chosen)
        for check, standing in standings.items():
            worse = standing.severity > asked.allowed
            if worse or (asked.least is not None and standing.steps < asked.least):
                alive = alive or self._alive(boxes)
                self._rule_out(check, chosen, Asked(asked.allowed) if worse else asked, alive)
        return alive is not None

    def _rule_out(self, check: str, chosen: Chosen, asked: Asked, alive: dict[str, BoolColumn]) -> None:
        block = self.blocks.of(check, chosen)
        if block is None:
            looked_at = {slot: chosen[slot] for slot in self.slots if slot in self.blocks.seen[check]}
            self.refused.append(Box(box_of(self.slots, looked_at).sides, check, asked.least))
            return
        if block not in self._finders:
            self._finders[block] = BoxFinder(self.evaluator, block, self.work)
        self.refused += self._finders[block].boxes(chosen, asked, alive)

    def _refused(self, least: int | None) -> list[Box]:
        """The boxes of what was judged whole, and of what searches have come by, that count for a margin."""
        if least not in self._whole:
            asked = Asked(self.allowed, least)
            boxes = (block.refused(asked) for block in self.blocks.judged)
            self._whole[least] = [box for box in boxes if box is not None]
        return self._whole[least] + [box for box in self.refused if box.counts(least)]

    def _alive(self, boxes: list[Box]) -> dict[str, BoolColumn]:
        """By slot the candidates that no box rules out by themselves."""
        alive = {slot: numpy.ones(len(parts), bool) for slot, parts in self.open_slots.items()}
        for box in boxes:
            if len(box.sides) == 1:
                ((slot, inside),) = box.sides.items()
                alive[slot] &= ~inside
        return alive

    def _standings(self, chosen: Chosen) -> dict[str, Standing]:
        """By check how it stands with a set of parts, where it is judged."""
        run = self.evaluator.run(self.with_parts(chosen), self.checks)
        return {
            check.id: Standing(SEVERITY[check.judgement.verdict], _steps(check.judgement.margin))
            for check in judge_run(run).judged
        }

    def _least_steps(self, chosen: Chosen) -> int:
        return min((standing.steps for standing in self._standings(chosen).values()), default=_CAP)


_CAP = int(MOST_MARGIN * MARGIN_STEPS)


def _steps(margin: float | None) -> int:
    return max(-MARGIN_STEPS, floor(min(margin or 0.0, MOST_MARGIN) * MARGIN_STEPS))
