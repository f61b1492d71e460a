"""What each check sees of the parts that could fill the open slots.

A selection has too many combinations to try (five slots of fifty parts: 300 million), but a check sees few of
them. Which inputs a check can depend on is known (dependence.py), and parts that add the same names and words
to these share a plan. Of a plan the steps are known, and with them the slots whose numbers a verdict reads:

    slots the check can see    gearbox    half_shafts    clutch
    share a plan                  all     by material       all      -> a block for each material
    numbers read in a block     ratio      diameter           -      -> the clutch does not matter

A check that reads the numbers of one slot at most is judged for every part at once. What several slots decide
together is looked at where a search comes by (box_finder.py).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import product
from math import prod

import numpy

from service.advice.block_verdicts import Asked, Verdicts
from service.advice.boxes import Box, Chosen, side
from service.advice.candidates import added
from service.advice.shared_steps import SharedSteps, behind
from service.advice.slot_columns import SlotColumns
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge_columns import IntColumn
from service.evaluation.known import Known
from service.evaluation.planning.check_plan import CheckPlan
from service.evaluation.planning.plan import Plan, make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.running.columns import FloatColumn
from service.evaluation.sweep import sweep

# Blocks of one check; one with more is looked at set by set.
MOST_BLOCKS = 2_000


@dataclass(slots=True, eq=False)
class Block:
    """One check over parts that share a plan.

    `plan`: narrowed to what the candidates move. `scope`: by slot which candidates these are. `names`: by
    slot whose numbers the verdict reads, those numbers; `lengths`: how many candidates its slots have.
    """

    check_plan: CheckPlan
    plan: Plan
    base: Known
    scope: Mapping[str, IntColumn]
    names: dict[str, dict[str, FloatColumn]]
    lengths: Mapping[str, int]
    verdicts: Verdicts | None = None
    """Of every candidate of the one slot, or of none, whose numbers are read."""

    def holds(self, chosen: Chosen) -> bool:
        """Whether a set lies in it."""
        return all((positions == chosen[slot]).any() for slot, positions in self.scope.items())

    def box(self, sides: Mapping[str, IntColumn], least: int | None) -> Box:
        """Sides of it as a box; what is not read may be any part of the block."""
        masks = {
            slot: side(self.lengths[slot], positions) for slot, positions in {**self.scope, **sides}.items()
        }
        kept = {slot: mask for slot, mask in masks.items() if not mask.all()}
        return Box(kept, self.check_plan.check.id, least)

    def refused(self, asked: Asked) -> Box | None:
        """Of a block that is judged whole what is refused; None where nothing is."""
        assert self.verdicts is not None, "a block of one slot is judged whole"
        bad = self.verdicts.bad(asked)
        if not bad.any():
            return None
        return self.box({slot: self.scope[slot][bad] for slot in self.names}, asked.least)

    def judged(self, evaluator: Evaluator, positions: Mapping[str, IntColumn]) -> Verdicts:
        """Every combination of these candidates of the slots that are read, one axis a slot."""
        shape = tuple(len(positions[slot]) for slot in self.names)
        columns: dict[str, FloatColumn] = {}
        for axis, (slot, numbers) in enumerate(self.names.items()):
            along = [-1 if place == axis else 1 for place in range(len(shape))]
            for name, column in numbers.items():
                columns[name] = numpy.broadcast_to(column[positions[slot]].reshape(along), shape).ravel()
        return Verdicts.of(sweep(evaluator, self.plan, self.base, columns).checks[0], shape)


@dataclass(slots=True)
class _Group:
    """Checks for which the same parts share plans: their groups by slot, and the inputs seen."""

    alike: dict[str, IntColumn]
    checks: list[str] = field(default_factory=list)
    paths: frozenset[str] = frozenset()


class CheckBlocks:
    """The blocks of the checks asked for, over one build and the columns of its open slots."""

    def __init__(
        self, evaluator: Evaluator, known: Known, slots: Mapping[str, SlotColumns], checks: tuple[str, ...]
    ):
        self.evaluator, self.known, self.slots = evaluator, known, slots
        self.by_check: dict[str, list[Block]] = {}
        for group in self._groups(checks):
            for block in self._blocks(group):
                self.by_check.setdefault(block.check_plan.check.id, []).append(block)
        self.judged = [
            block for blocks in self.by_check.values() for block in blocks if block.verdicts is not None
        ]

    def of(self, check: str, chosen: Chosen) -> Block | None:
        """The block of a check that a set lies in; None where there are too many to have been made."""
        return next((block for block in self.by_check.get(check, ()) if block.holds(chosen)), None)

    @cached_property
    def seen(self) -> dict[str, frozenset[str]]:
        """By check the open slots that it can depend on."""
        of = self.evaluator.dependence.of
        return {
            check: frozenset(slot for slot, columns in self.slots.items() if columns.sees(of(check)))
            for check in self.evaluator.rulebook.checks
        }

    def _groups(self, checks: tuple[str, ...]) -> list[_Group]:
        """Checks whose parts share plans alike share the plans as well."""
        groups: dict[tuple[object, ...], _Group] = {}
        for check in checks:
            if self.evaluator.rulebook.checks[check].collects:
                continue
            paths = self.evaluator.dependence.of(check)
            alike = {slot: columns.alike(paths) for slot, columns in self.slots.items()}
            differing = {slot: numbers for slot, numbers in alike.items() if numbers.any()}
            if prod(numbers.max() + 1 for numbers in differing.values()) > MOST_BLOCKS:
                continue
            key = tuple((slot, numbers.tobytes()) for slot, numbers in differing.items())
            group = groups.setdefault(key, _Group(differing))
            group.checks.append(check)
            group.paths |= paths
        return list(groups.values())

    def _blocks(self, group: _Group) -> Iterator[Block]:
        kinds = [
            [numpy.flatnonzero(numbers == number) for number in range(numbers.max() + 1)]
            for numbers in group.alike.values()
        ]
        for chosen in product(*kinds):
            scope = dict(zip(group.alike, chosen, strict=True))
            yield from self._planned(group, scope)

    def _planned(self, group: _Group, scope: dict[str, IntColumn]) -> Iterator[Block]:
        """The blocks of the checks of a group over parts that share one plan."""
        base = self.known
        provided: dict[str, tuple[str, FloatColumn]] = {}
        for slot, columns in self.slots.items():
            first = int(scope[slot][0]) if slot in scope else 0
            base = added(base, columns.candidates[first], group.paths)
            # As in the base, a later slot takes the place of an earlier one.
            provided |= {name: (slot, column) for name, column in columns.columns(group.paths, first).items()}
        plan = make_plan(Resolution(self.evaluator.rulebook, base), tuple(group.checks))
        shared = SharedSteps(self.evaluator, plan, base, {name: slot for name, (slot, _) in provided.items()})
        for check_plan in plan.checks:
            steps, read = behind(shared.varying, check_plan)
            names: dict[str, dict[str, FloatColumn]] = {slot: {} for slot in self.slots}
            for name, (slot, column) in provided.items():
                if self.evaluator.slots[name] in read:
                    names[slot][name] = column
            names = {slot: numbers for slot, numbers in names.items() if numbers}
            narrow = replace(plan, template=shared.values, steps=steps, checks=[check_plan], consistency=None)
            lengths = {slot: len(self.slots[slot].candidates) for slot in (*scope, *names)}
            everything = {slot: numpy.arange(lengths[slot]) for slot in names}
            block = Block(check_plan, narrow, base, everything | scope, names, lengths)
            if len(names) < 2:
                block.verdicts = block.judged(self.evaluator, block.scope)
            yield block
