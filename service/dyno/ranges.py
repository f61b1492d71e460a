"""Values of a build with the range that its assumptions and tolerances leave them, and what one alone would
change.
"""

from dataclasses import dataclass, field

from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.combination import combined
from service.evaluation.known import Known
from service.evaluation.planning.lean import Lean
from service.evaluation.planning.plan import NO_CHECKS, make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.running.reruns import Change, Reruns
from service.evaluation.running.run import Figures, run_plan


@dataclass(slots=True)
class MovedInput:
    """An assumption, or a number with a tolerance, and the figures with it at each of its ends."""

    lean: Lean | None
    name: str
    typical: float
    ends: tuple[float, ...]
    runs: list[Figures] = field(default_factory=list)


@dataclass(slots=True)
class Ranges:
    """The names that can be worked out: their values, and the movers behind them."""

    slots: dict[str, int]
    base: Figures
    movers: list[MovedInput]
    resolution: Resolution

    def value(self, name: str) -> float:
        return self.base.values[self.slots[name]]

    def between(self, name: str) -> tuple[float, float]:
        """From where to where, each mover by itself, combined.

        As far as one value in fifty on each side, since a typical value need not be the middle
        (combination.py).
        """
        slot, value = self.slots[name], self.value(name)
        moved = [[figures.values[slot] for figures in mover.runs] for mover in self.movers]
        pairs = [(ends[0], ends[-1] if len(ends) > 1 else value) for ends in moved if ends]
        *_, low, high = combined(value, pairs)
        return low, high


def find_ranges(evaluator: Evaluator, known: Known, names: tuple[str, ...]) -> Ranges:
    """The names of the list that this build lets be worked out."""
    resolution = Resolution(evaluator.rulebook, known)
    within_reach = tuple(name for name in names if resolution.known(name))
    plan = make_plan(resolution, NO_CHECKS, within_reach)
    slots = evaluator.slots
    base = run_plan(plan, known, slots).figures
    worked_out = {name: slots[name] for name in within_reach if slots[name] not in base.failed}
    movers = _movers(resolution, known, list(worked_out))
    reruns = Reruns(plan.steps, worked_out.values())
    changes = [
        Change(reruns.chain(slots[mover.name]), {slots[mover.name]: end})
        for mover in movers
        for end in mover.ends
    ]
    figures = iter(reruns.run(base, changes))
    for mover in movers:
        mover.runs = [next(figures) for _ in mover.ends]
    return Ranges(worked_out, base, movers, resolution)


def _movers(resolution: Resolution, known: Known, names: list[str]) -> list[MovedInput]:
    """The assumptions behind the names, then the numbers with a tolerance."""
    behind = frozenset[str]().union(*(resolution.lean(name) for name in names))
    leans = [resolution.leans[id] for id in sorted(behind)]
    return [
        *(MovedInput(lean, f"assumed__{lean.id}", lean.row.typical, lean.ends) for lean in leans if lean.row),
        *(
            MovedInput(None, name, known.numbers[name], ends)
            for name, ends in sorted(known.tolerances.items())
        ),
    ]
