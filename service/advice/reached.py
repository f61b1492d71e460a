"""One quantity of a build as a function of one input: where it reaches a value."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise, zip_longest
from math import isfinite
from typing import NamedTuple

from service.advice.ladder import Ladder
from service.evaluation.evaluate import Evaluator
from service.evaluation.known import Known
from service.evaluation.planning.plan import NO_CHECKS, Plan, make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.running.reruns import Change, Reruns
from service.evaluation.running.run import run_plan
from service.extra import need_extra

# Between the ends of the input the quantity is looked at here; a curve that crosses the value twice between
# two of them is seen as not crossing it.
PLACES_LOOKED_AT = 49
# A root is found to this share of the input, far below what any unit shows.
TO_A_SHARE = 1e-13
# The end of a range is shown to three digits.
TO_A_SHARE_OF_A_RANGE = 1e-5
AS_ASSUMED: Mapping[str, float] = {}


class Nearest(NamedTuple):
    """The value of the input at which the quantity comes nearest, and what it is there."""

    input: float
    quantity: float


@dataclass(frozen=True, slots=True)
class Wanted:
    """The quantity by its identifier, and the value it is to reach."""

    name: str
    value: float


class Reached:
    """The quantity over the values of one input; everything else as given or assumed."""

    def __init__(self, evaluator: Evaluator, known: Known, ladder: Ladder, wanted: Wanted):
        self.ladder = ladder
        self.wanted = wanted
        self.slots = evaluator.slots
        middle = (ladder.lowest + ladder.highest) // 2
        placed = known.with_numbers({ladder.name: ladder.value(middle)})
        resolution = Resolution(evaluator.rulebook, placed)
        self.known_at_all = resolution.known(wanted.name)
        self.plan: Plan = make_plan(resolution, NO_CHECKS, (wanted.name,))
        self.run = run_plan(self.plan, placed, evaluator.slots)
        self.reruns = Reruns(self.plan.steps, [self.slots[wanted.name]])
        behind = sorted(resolution.lean(wanted.name)) if self.known_at_all else []
        self.leans = [resolution.leans[id] for id in behind]

    @property
    def depends(self) -> bool:
        """Whether the input moves the quantity at all."""
        chain = self.reruns.chain(self.slots[self.ladder.name])
        return self.slots[self.wanted.name] in chain.changes and self.wanted.name != self.ladder.name

    def values(self, inputs: list[float], assumed: Mapping[str, float] = AS_ASSUMED) -> list[float]:
        """The quantity at some values of the input; not a number where it cannot be worked out."""
        moved, others = self.slots[self.ladder.name], {self.slots[name]: end for name, end in assumed.items()}
        chain = self.reruns.chain(moved, *others)
        changes = [Change(chain, {moved: value, **others}) for value in inputs]
        slot = self.slots[self.wanted.name]
        return [figures.values[slot] for figures in self.reruns.run(self.run.figures, changes)]

    def roots(self) -> list[float]:
        """Every value of the input at which the quantity is the one wanted, in SI."""
        places = self._places()
        off = [value - self.wanted.value for value in self.values(places)]
        found = [place for place, miss in zip(places, off, strict=True) if miss == 0]
        for (low, before), (high, after) in pairwise(zip(places, off, strict=True)):
            if isfinite(before) and isfinite(after) and before * after < 0:
                found.append(self._root(low, high, TO_A_SHARE))
        return sorted(found)

    def root_beside(self, root: float, assumed: Mapping[str, float]) -> float | None:
        """Where the root nearest to one lies under other assumptions, looked for outwards from it."""
        start = (root, self._off(root, assumed))
        places = self._places()
        above = [place for place in places if place > root]
        below = [place for place in reversed(places) if place < root]
        last = {1: start, -1: start}
        for outwards in zip_longest(above, below):
            for side, place in zip((1, -1), outwards, strict=True):
                if place is None:
                    continue
                (inner, before), off = last[side], self._off(place, assumed)
                if isfinite(before) and isfinite(off) and before * off <= 0:
                    return self._root(inner, place, TO_A_SHARE_OF_A_RANGE, assumed)
                last[side] = (place, off)
        return None

    def nearest(self) -> Nearest | None:
        """Where the quantity comes nearest; None where it cannot be worked out anywhere."""
        places = self._places()
        told = [Nearest(*pair) for pair in zip(places, self.values(places), strict=True) if isfinite(pair[1])]
        return min(told, key=lambda pair: abs(pair.quantity - self.wanted.value), default=None)

    def _places(self) -> list[float]:
        low, high = self.ladder.value(self.ladder.lowest), self.ladder.value(self.ladder.highest)
        return [low + (high - low) * part / (PLACES_LOOKED_AT - 1) for part in range(PLACES_LOOKED_AT)]

    def _off(self, value: float, assumed: Mapping[str, float]) -> float:
        return self.values([value], assumed)[0] - self.wanted.value

    def _root(
        self, low: float, high: float, share: float, assumed: Mapping[str, float] = AS_ASSUMED
    ) -> float:
        # It takes long to import.
        need_extra("statistics", "scipy")
        from scipy.optimize import brentq

        exactness = share * max(abs(low), abs(high))
        return float(brentq(self._off, low, high, args=(assumed,), xtol=exactness, rtol=8.9e-16))
