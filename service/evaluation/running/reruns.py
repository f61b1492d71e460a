"""Runs again only what hangs on a few changed values: the same steps as the run, in the same order, for many changes at once."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from service.evaluation.planning.steps import Row, Step
from service.evaluation.running.run import fill_together, run_steps


@dataclass(frozen=True, slots=True)
class Chain:
    """The steps that hang on some slots: formulas in stretches, between them the rows of each step that is called once for all."""

    stretches: tuple[list[Step], ...]
    rows: tuple[list[Row], ...]
    changes: frozenset[int]


class Changed(NamedTuple):
    """The values of a run after a change, and what failed in it."""

    values: list
    failed: dict[int, int]


class Reruns:
    """For the steps of one plan that are behind some wanted slots."""

    def __init__(self, steps: list[Step], wanted: Iterable[int]):
        self.steps: list[tuple[Step, list[Row]]] = []
        need = set(wanted)
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
        stretches, called = [[]], []
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

    def run(self, base: Changed, changes: list[tuple[Chain, dict[int, float]]]) -> list[Changed]:
        """The values after each change, one by one; a step called together is called once for all of them."""
        made = []
        for chain, change in changes:
            values = base.values.copy()
            for slot, value in change.items():
                values[slot] = value
            made.append(
                Changed(
                    values,
                    {slot: first for slot, first in base.failed.items() if slot not in chain.changes}
                    if base.failed
                    else {},
                )
            )
        for position in range(len(self.together) + 1):
            for (chain, _), one in zip(changes, made):
                if chain.stretches[position]:
                    run_steps(chain.stretches[position], one.values, one.failed)
            if position < len(self.together):
                jobs = [
                    (row, one.values, one.failed)
                    for (chain, _), one in zip(changes, made)
                    for row in chain.rows[position]
                ]
                if jobs:
                    fill_together(self.together[position], jobs)
        return made
