"""Values of a build with the range that its assumptions and tolerances leave them, and what an assumption alone would change."""

from dataclasses import dataclass

from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.combination import combined
from service.evaluation.known import Known
from service.evaluation.planning.plan import NO_CHECKS, make_plan
from service.evaluation.planning.resolve import Lean, Resolution
from service.evaluation.running.reruns import Changed, Reruns
from service.evaluation.running.run import run


@dataclass(frozen=True, slots=True)
class MovedInput:
    """An assumption, or a number with a tolerance, and the runs with it at each of its ends."""

    lean: Lean | None
    name: str
    typical: float
    ends: tuple[float, ...]
    runs: tuple[Changed, ...]


@dataclass(slots=True)
class Ranges:
    """The names that can be worked out: their values, and the movers behind them."""

    slots: dict[str, int]
    base: Changed
    movers: list[MovedInput]
    resolution: Resolution

    def value(self, name: str) -> float:
        return self.base.values[self.slots[name]]

    def between(self, name: str) -> tuple[float, float]:
        """From where to where, one mover at a time, combined; as far as one value in fifty on each side, since a typical value need not be the middle (combination.py)."""
        slot, value = self.slots[name], self.value(name)
        ends = [[run.values[slot] for run in mover.runs] for mover in self.movers]
        *_, low, high = combined(
            value, [(pair[0], pair[-1] if len(pair) > 1 else value) for pair in ends if pair]
        )
        return low, high


def ranges(evaluator: Evaluator, known: Known, names: tuple[str, ...]) -> Ranges:
    """The names of the list that this build lets be worked out."""
    rulebook = evaluator.rulebook
    resolution = Resolution(rulebook, known)
    found = tuple(name for name in names if resolution.known(name))
    plan = make_plan(rulebook, resolution, NO_CHECKS, found)
    slots = rulebook.graph.slots
    base = Changed(*run(plan, known, slots))
    wanted = {name: slots[name] for name in found if slots[name] not in base.failed}
    reruns = Reruns(plan.steps, wanted.values())
    movers, changes = [], []
    for id in sorted(frozenset().union(*(resolution.lean(name) for name in wanted)) if wanted else ()):
        lean = resolution.leans[id]
        if lean.row:
            name = f"assumed__{id}"
            movers.append(
                (
                    lean,
                    name,
                    lean.row.typical,
                    tuple(
                        end for end in dict.fromkeys((lean.row.low, lean.row.high)) if end != lean.row.typical
                    ),
                )
            )
    movers += [(None, name, known.numbers[name], ends) for name, ends in sorted(known.tolerances.items())]
    for _, name, _, ends in movers:
        changes += [(reruns.chain(slots[name]), {slots[name]: end}) for end in ends]
    runs = iter(reruns.run(base, changes))
    made = [
        MovedInput(lean, name, typical, ends, tuple(next(runs) for _ in ends))
        for lean, name, typical, ends in movers
    ]
    return Ranges(wanted, base, made, resolution)
