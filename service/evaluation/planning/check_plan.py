"""How one check is judged in a plan: its operating points, and the limits as they are for this build."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from service.evaluation.planning.needs import Lacking
from service.kept import Kept
from service.rulebook.check import Bound, Check, ScopeRule

# In the order they are looked at.
LEVELS = ("warn", "fail")
# Exactly at a limit is not beyond it; a number that was divided and multiplied again may miss by this share.
AT_LIMIT = 1e-9
# The side of a limit that is crossed when a guard holds: it has no number of its own.
GUARD = "when"


@dataclass(slots=True, frozen=True)
class Limit:
    """A limit of one point: the slot of the value it is for, and a number, or the slot of one that is worked
    out.
    """

    level: str
    bound: Bound
    slot: int
    number: float
    """Zero where `limit_slot` holds the limit."""
    limit_slot: int | None = None
    above: bool = field(init=False)
    """Whether what lies above it has crossed it."""
    yes_or_no: bool = field(init=False)
    """Whether a guard decides it: then its slot holds one or zero, and there is no margin."""

    def __post_init__(self) -> None:
        # Judging asks for these in every run.
        object.__setattr__(self, "above", self.bound.side == "above")
        object.__setattr__(self, "yes_or_no", self.bound.side == GUARD)

    def value(self, values: list[float]) -> float:
        """The limit in a run."""
        return self.number if self.limit_slot is None else values[self.limit_slot]


@dataclass(slots=True)
class PointPlan:
    """One value to judge: the operating point, its slot, and its limits, those that warn before those that
    fail.
    """

    point: str | None
    slot: int
    limits: tuple[Limit, ...]
    at_worst: str | None


class Threshold(NamedTuple):
    """A check applies only while this slot is above a number."""

    slot: int
    number: float


class OutOfScope(NamedTuple):
    """A scope rule, and the numbers that all have to be passed for it to hold."""

    rule: ScopeRule
    limits: list[Threshold]

    def holds(self, values: Sequence[float]) -> bool:
        """Whether the numbers of a run pass all of them."""
        return all(values[slot] > number for slot, number in self.limits)


@dataclass(slots=True)
class CheckPlan:
    """How one check is judged in this plan."""

    check: Check
    points: list[PointPlan]
    second_look: list[PointPlan]
    above: list[Threshold]
    not_judged: list[str]
    leaning: list[str]
    needs: Lacking
    eased: bool
    outside: list["OutOfScope"] = field(default_factory=list)
    """What keeps it from being judged where numbers pass limits."""
    missing: tuple[str, ...] = ()
    """Of what the check requires, the choices that are not as they have to be."""
    kept: Kept = field(default_factory=Kept)

    def slots_read(self) -> Iterator[int]:
        """Every slot the verdict reads."""
        for threshold in (*self.above, *(limit for rule in self.outside for limit in rule.limits)):
            yield threshold.slot
        for point_plan in (*self.points, *self.second_look):
            yield point_plan.slot
            for limit in point_plan.limits:
                yield limit.slot
                if limit.limit_slot is not None:
                    yield limit.limit_slot
