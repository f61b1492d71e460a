"""Under assumptions: how far a check's value may lie from the one shown, which verdicts that reaches, what would narrow it."""

from dataclasses import dataclass

from service.evaluation.judging.combination import Combined, combined
from service.evaluation.judging.judge import Judgement
from service.evaluation.known import Known
from service.evaluation.planning.plan import CheckPlan, Judged, Plan
from service.evaluation.running.reruns import Chain, Changed, Reruns

# A check is moved at the points that decided it; plans see few combinations of them.
COMBINATIONS_KEPT = 8
VERDICTS = ("pass", "warn", "fail")


@dataclass(frozen=True, slots=True)
class Mover:
    """Something that may lie between two ends: an assumption, or a number given with a tolerance (whose ends come with the build)."""

    slot: int
    input: str | None
    name: str
    ends: tuple[float, ...] | None
    chain: Chain


@dataclass(slots=True)
class Spread:
    """What is not certain about one verdict."""

    low: float
    high: float
    could_be: tuple[str, ...]
    shares: dict[str, float]
    """Unknown input -> its part of the squared width of what decides the verdict; the largest first."""


class Movers:
    """What can move the verdicts of one plan at the points that decided them."""

    def __init__(self, plan: Plan, known: Known, slots: dict[str, int], points: list[Judged]):
        wanted = {
            slot
            for here in points
            for bounds in here.bounds.values()
            for _, slot, _, limit_slot in bounds
            for slot in (slot, limit_slot)
            if slot is not None
        }
        self.reruns = Reruns(plan.steps, wanted)
        self.all: list[Mover] = []
        for lean in plan.leans:
            if lean.row:
                ends = tuple(
                    end for end in dict.fromkeys((lean.row.low, lean.row.high)) if end != lean.row.typical
                )
                self._add(wanted, slots[f"assumed__{lean.id}"], lean.input, lean.id, ends)
        for name in sorted(known.tolerances):
            self._add(wanted, slots[name], None, name, None)
        self._touching: dict[tuple[int, int | None], list[int]] = {}

    def _add(
        self, wanted: set[int], slot: int, path: str | None, name: str, ends: tuple[float, ...] | None
    ) -> None:
        chain = self.reruns.chain(slot)
        if ends != () and not wanted.isdisjoint(chain.changes):
            self.all.append(Mover(slot, path, name, ends, chain))

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


class Moved:
    """One run, and beside it the runs with each mover at each of its ends."""

    def __init__(
        self,
        plan: Plan,
        known: Known,
        slots: dict[str, int],
        base: Changed,
        judged: list[tuple[CheckPlan, Judgement]],
    ):
        self.base = base
        # Only the point that decided a check is run again; the others are taken to move as it does, which saves most of the integrals.
        self.points = {
            one.check.id: next(here for here in one.judged if here.point == made.point)
            for one, made in judged
        }
        here = list(self.points.values())
        key = tuple([point.slot for point in here])
        self.movers = plan.movers.get(key)
        if self.movers is None:
            if len(plan.movers) >= COMBINATIONS_KEPT:
                plan.movers.clear()
            self.movers = plan.movers[key] = Movers(plan, known, slots, here)
        self.ends = self._run(known)
        self._between: dict[int, Combined] = {}

    def _run(self, known: Known) -> list[tuple[list, list]]:
        """The values with each mover at its low and at its high end; the run itself stands in for an end that is the typical value."""
        changes, counts = [], []
        for mover in self.movers.all:
            ends = mover.ends or known.tolerances[mover.name]
            counts.append(len(ends))
            changes += [(mover.chain, {mover.slot: end}) for end in ends]
        made = iter(self.movers.reruns.run(self.base, changes))
        return [(next(made).values, next(made).values if count > 1 else self.base.values) for count in counts]

    def between(self, slot: int) -> Combined:
        """From where to where a value may lie."""
        if slot not in self._between:
            ends = self.ends
            self._between[slot] = combined(
                self.base.values[slot],
                [
                    (ends[position][0][slot], ends[position][1][slot])
                    for position in self.movers.touching(slot, None)
                ],
            )
        return self._between[slot]

    def spread(self, one: CheckPlan, made: Judgement) -> Spread | None:
        """The spread of one judgement; None where nothing moves it."""
        here = self.points[one.check.id]
        _, slot, _, limit_slot = next(
            entry for bounds in here.bounds.values() for entry in bounds if entry[0] is made.bound
        )
        touching = self.movers.touching(slot, limit_slot)
        if not touching:
            return None
        base = self._gap(self.base.values, slot, limit_slot)
        widths: dict[str, float] = {}
        for position in touching:
            path = self.movers.all[position].input
            if path:
                one_end, other_end = self.ends[position]
                low, high = self._gap(one_end, slot, limit_slot), self._gap(other_end, slot, limit_slot)
                if low > high:
                    low, high = high, low
                width = (high if high > base else base) - (low if low < base else base)
                if width > 0:
                    widths[path] = widths.get(path, 0.0) + width * width
        total = sum(widths.values())
        shares = {path: width / total for path, width in sorted(widths.items(), key=lambda item: -item[1])}
        low, high, *_ = self.between(slot)
        return Spread(low, high, self._could_be(one, here), shares)

    def _gap(self, values: list, slot: int, limit_slot: int | None) -> float:
        """A value above its limit, where the limit moves as well."""
        value = values[slot] if limit_slot is None else values[slot] - values[limit_slot]
        return (
            value
            if value == value
            else self.base.values[slot] - (0.0 if limit_slot is None else self.base.values[limit_slot])
        )

    def _could_be(self, one: CheckPlan, here: Judged) -> tuple[str, ...]:
        """The verdicts the check can reach over all its points."""
        *_, least, most = self.between(here.slot)
        value = self.base.values[here.slot]
        shift = (least - value, most - value)
        points = [
            self._at_point(point, None if point is here else shift)
            for point in one.judged
            if point.slot not in self.base.failed
        ]
        could = set()
        if any("fail" in point for point in points):
            could.add("fail")
        if all(point != {"fail"} for point in points):
            if any("warn" in point for point in points):
                could.add("warn")
            if all("pass" in point for point in points):
                could.add("pass")
        if one.eased and "fail" in could:
            could = (could - {"fail"}) | {"warn"}
        if "pass" in could and one.second:
            second = [
                self._at_point(point, shift) for point in one.second if point.slot not in self.base.failed
            ]
            if any("fail" in point for point in second):
                could.add("warn")
            if any(point == {"fail"} for point in second):
                could.discard("pass")
        return tuple([verdict for verdict in VERDICTS if verdict in could])

    def _at_point(self, here: Judged, shift: tuple[float, float] | None) -> set[str]:
        """The verdicts one point can reach."""
        (may_warn, must_warn), (may_fail, must_fail) = (
            self._crossed(here, level, shift) for level in ("warn", "fail")
        )
        could = set()
        if may_fail:
            could.add("warn" if here.at_worst else "fail")
        if may_warn and not must_fail:
            could.add("warn")
        if not must_warn and not must_fail:
            could.add("pass")
        return could

    def _crossed(self, here: Judged, level: str, shift: tuple[float, float] | None) -> tuple[bool, bool]:
        """Whether any limit of a level may be crossed, and whether one is crossed whatever is assumed."""
        may = must = False
        base, failed = self.base
        for bound, slot, number, limit_slot in here.bounds.get(level, ()):
            if slot in failed or limit_slot in failed:
                continue
            if shift:
                over = self._gap(base, slot, limit_slot) - (number or 0.0)
                low, high = (over + shift[0], over + shift[1]) if slot == here.slot else (over, over)
            elif limit_slot is None:
                *_, least, most = self.between(slot)
                low, high = least - number, most - number
            else:
                gaps = [
                    (self._gap(low, slot, limit_slot), self._gap(high, slot, limit_slot))
                    for low, high in (
                        self.ends[position] for position in self.movers.touching(slot, limit_slot)
                    )
                ]
                *_, low, high = combined(self._gap(base, slot, limit_slot), gaps)
            if bound.side == "below":
                low, high = -high, -low
            may = may or high > 0
            must = must or low > 0
        return may, must
