"""Runs again only what depends on a few changed values: the same steps in the same order, for many changes at
once.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from service.evaluation.planning.steps import Row, Step
from service.evaluation.running.run import Failed, Figures, Job, Values, fill_together, run_steps


@dataclass(frozen=True, slots=True)
class Chain:
    """The steps that depend on some slots: formulas in stretches, between them the rows of each step called
    together.
    """

    stretches: tuple[list[Step], ...]
    rows: tuple[list[Row], ...]
    changes: frozenset[int]

    @property
    def together(self) -> bool:
        """Whether a step called together is in it."""
        return any(self.rows)


class Change(NamedTuple):
    """Other values in some slots, and what has to run again for them."""

    chain: Chain
    values: dict[int, float]


class Reruns:
    """For the steps of one plan that are behind some slots."""

    def __init__(self, steps: list[Step], slots: Iterable[int]):
        self.steps: list[tuple[Step, list[Row]]] = []
        need = set(slots)
        for step in reversed(steps):
            rows = [row for row in step.rows if not need.isdisjoint(row.slots)]
            if rows or (not step.rows and step.slot in need):
                self.steps.append((step, rows))
                need |= frozenset().union(*(row.arguments for row in rows)) if rows else step.arguments
        self.steps.reverse()
        self.together = [step for step, _ in self.steps if step.together]
        self._chains: dict[tuple[int, ...], Chain] = {}

    def chain(self, *slots: int) -> Chain:
        """What has to run again when these slots change."""
        if slots not in self._chains:
            self._chains[slots] = self._chain(slots)
        return self._chains[slots]

    def _chain(self, slots: tuple[int, ...]) -> Chain:
        changed = set(slots)
        stretches: list[list[Step]] = [[]]
        called: list[list[Row]] = []
        for step, rows in self.steps:
            if not step.rows:
                if not changed.isdisjoint(step.arguments):
                    stretches[-1].append(step)
                    changed.add(step.slot)
                continue
            touched = [row for row in rows if not changed.isdisjoint(row.arguments)]
            changed.update(slot for row in touched for slot in row.slots if slot >= 0)
            if step.together:
                called.append(touched)
                stretches.append([])
            elif touched:
                stretches[-1].append(step)
        return Chain(tuple(stretches), tuple(called), frozenset(changed))

    # A chain is cut at the steps that are called together (the integrals), so that those are called once for
    # all changes:
    #
    #     change 1    formulas ... |          | formulas ... |          | formulas
    #     change 2    formulas ... | integral | formulas ... | integral | formulas
    #     change 3        (none)   |    A     |    (none)    |    B     | formulas
    #
    # Each change has values of its own, copied from the base; column by column each runs its stretch of
    # formulas, then the rows of all changes go into one call of the integral. A row that no change touches is
    # not asked for again, and chains of one Reruns have all the same cuts, also where a stretch is empty, so
    # that position n means the same step for all.
    def run(self, base: Figures, changes: list[Change]) -> list[Figures]:
        """The figures after each change; a step called together is called once for all of them."""
        changed = [_start(base, change) for change in changes]
        for position in range(len(self.together) + 1):
            for change, figures in zip(changes, changed, strict=True):
                if change.chain.stretches[position]:
                    run_steps(change.chain.stretches[position], figures.values, figures.failed)
            if position < len(self.together):
                jobs = [
                    Job(row, figures.values, figures.failed)
                    for change, figures in zip(changes, changed, strict=True)
                    for row in change.chain.rows[position]
                ]
                if jobs:
                    fill_together(self.together[position], jobs)
        return changed


def readings(
    reruns: Reruns, base: Figures, changes: list[Change], slots: list[tuple[int, ...]]
) -> list[dict[int, float]]:
    """What each change makes of some of the slots that it reaches."""
    together = [change for change in changes if change.chain.together]
    runs = iter(reruns.run(base, together) if together else ())
    # Without an integral a change runs alone and is undone: a list of a thousand values costs more to copy
    # than most chains cost to run.
    scratch = base.values.copy()
    read = []
    for change, wanted in zip(changes, slots, strict=True):
        values = next(runs).values if change.chain.together else _run_alone(base, change, scratch)
        read.append({slot: values[slot] for slot in wanted})
        if values is scratch:
            for slot in change.chain.changes:
                scratch[slot] = base.values[slot]
    return read


def _run_alone(base: Figures, change: Change, scratch: Values) -> Values:
    """The scratch list with a change put in and run through; the base has to be restored in it."""
    failed = _failed_still(base, change)
    for slot, value in change.values.items():
        scratch[slot] = value
    for stretch in change.chain.stretches:
        run_steps(stretch, scratch, failed)
    return scratch


def _start(base: Figures, change: Change) -> Figures:
    """The base with the changed values put in; what will run again has not failed yet."""
    values = base.values.copy()
    for slot, value in change.values.items():
        values[slot] = value
    return Figures(values, _failed_still(base, change))


def _failed_still(base: Figures, change: Change) -> Failed:
    """What failed in the base and will not run again."""
    if not base.failed:
        return {}
    again = change.chain.changes
    return {slot: first for slot, first in base.failed.items() if slot not in again}
