"""What is wanted of a set of parts, and what each candidate costs under it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy

from service.advice.boxes import Box
from service.advice.candidates import Candidate
from service.advice.choice import FIRST, Costs
from service.evaluation.judging.judge_columns import IntColumn


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

    @property
    def changes(self) -> dict[str, str]:
        """By slot the present part whose loss counts before any price."""
        return self.current if self.objective == "fewest_changes" else {}


def costs(
    open_slots: Mapping[str, list[Candidate]], budget: int | None, changes: Mapping[str, str] | None = None
) -> Costs:
    """Changes come first where they count, then the price."""
    prices: dict[str, IntColumn] = {}
    counts: dict[str, IntColumn] = {}
    for slot, parts in open_slots.items():
        prices[slot] = counts[slot] = numpy.array([candidate.part.price for candidate in parts])
        if changes and slot in changes:
            changed = numpy.array([candidate.part.number != changes[slot] for candidate in parts])
            counts[slot] = prices[slot] + changed * FIRST
    return Costs(prices, counts, budget)


def freest(costs: Costs, boxes: list[Box]) -> Costs:
    """Parts in few boxes first: where any set will do, one of these is likely to, and where it will not, most
    of the others will not either.
    """
    counts = {slot: prices.copy() for slot, prices in costs.prices.items()}
    for box in boxes:
        for slot, inside in box.sides.items():
            counts[slot] += inside * FIRST
    return Costs(costs.prices, counts, costs.budget)
