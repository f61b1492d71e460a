"""What can move the verdicts of a plan: assumptions with a range, and numbers given with a tolerance."""

from dataclasses import dataclass

from service.evaluation.planning.check_plan import PointPlan
from service.evaluation.planning.lean import Lean
from service.evaluation.running.reruns import Chain, Reruns
from service.evaluation.running.run import Run

# A check is moved at the points that decided it; plans see few combinations of them.
COMBINATIONS_KEPT = 8


@dataclass(frozen=True, slots=True)
class Mover:
    """Something that may lie between two ends: an assumption, or a number with a tolerance, whose ends come
    with the build.

    `reached`: the slots of verdicts and figures that it moves. `cause`: the input that would settle it, or,
    where that input was `stated`, the assumption about it; None where there is no such input.
    """

    name: str
    slot: int
    ends: tuple[float, ...] | None
    chain: Chain
    reached: tuple[int, ...]
    cause: str | None = None
    stated: bool = False


class Movers:
    """What can move the verdicts of one plan at the points that decided them, and its figures."""

    def __init__(self, run: Run, slots: dict[str, int], points: list[PointPlan]):
        limits = [limit for point_plan in points for limit in point_plan.limits]
        self.decisive = {limit.slot for limit in limits}
        self.decisive |= {limit.limit_slot for limit in limits if limit.limit_slot is not None}
        self.decisive.update(figure_plan.slot for figure_plan in run.plan.figures)
        self.reruns = Reruns(run.plan.steps, self.decisive)
        self.all: list[Mover] = []
        for lean in run.plan.moving_leans:
            self._add_assumption(lean, slots)
        for name in sorted(run.known.tolerances):
            self._add(name, slots[name])
        self._touching: dict[tuple[int, int | None], list[int]] = {}

    def _add_assumption(self, lean: Lean, slots: dict[str, int]) -> None:
        if lean.ends:
            self._add(lean.id, slots[f"assumed__{lean.id}"], lean)

    def _add(self, name: str, slot: int, lean: Lean | None = None) -> None:
        chain = self.reruns.chain(slot)
        reached = tuple(sorted(self.decisive & chain.changes))
        if not reached:
            return
        if lean is None:
            self.all.append(Mover(name, slot, None, chain, reached))
        else:
            cause = lean.id if lean.stated else lean.input
            self.all.append(Mover(name, slot, lean.ends, chain, reached, cause, lean.stated))

    def touching(self, slot: int, limit_slot: int | None) -> list[int]:
        """Positions of the movers that move either of two slots."""
        key = (slot, limit_slot)
        if key not in self._touching:
            self._touching[key] = [
                position
                for position, mover in enumerate(self.all)
                if slot in mover.chain.changes or limit_slot in mover.chain.changes
            ]
        return self._touching[key]


class MoversByPoints:
    """The movers of one plan for the combinations of deciding points that its runs came to."""

    def __init__(self) -> None:
        self._movers: dict[tuple[int, ...], Movers] = {}

    def of(self, run: Run, slots: dict[str, int], points: list[PointPlan]) -> Movers:
        """Those for these points."""
        key = tuple([point_plan.slot for point_plan in points])
        movers = self._movers.get(key)
        if movers is None:
            if len(self._movers) >= COMBINATIONS_KEPT:
                self._movers.clear()
            movers = self._movers[key] = Movers(run, slots, points)
        return movers
