"""Under assumptions: how far a check's value may lie from the one shown, which verdicts that reaches, what
would narrow it.
"""

from dataclasses import dataclass, field

from service.evaluation.judging.combination import Combined, combined
from service.evaluation.judging.judge import JudgedCheck
from service.evaluation.judging.movers import Movers, MoversByPoints
from service.evaluation.planning.check_plan import AT_LIMIT, CheckPlan, Limit, PointPlan
from service.evaluation.running.reruns import Change, readings
from service.evaluation.running.run import Run

VERDICTS = ("pass", "warn", "fail")
NO_SHIFT = (0.0, 0.0)
End = dict[int, float]
"""What a mover at one of its ends makes of the slots that it reaches."""


@dataclass(slots=True)
class Spread:
    """What is not certain about one verdict, and what that comes from.

    `shares` and `stated`: the part of the squared width of what decides the verdict, the largest first; by
    input that was not given, and by assumption about an input that was given (the exact density of the fuel
    named, for instance).
    """

    low: float
    high: float
    could_be: tuple[str, ...]
    shares: dict[str, float] = field(default_factory=dict)
    stated: dict[str, float] = field(default_factory=dict)


class Spreads:
    """One run, and beside it the runs with each mover at each of its ends."""

    def __init__(self, run: Run, slots: dict[str, int], judged: list[JudgedCheck]):
        self.base, self.failed = run.figures
        # Only the point that decided a check is run again; the others are taken to move as it does, which
        # saves most of the integrals.
        points = [judgement.point_plan for _, judgement in judged]
        by_points = run.plan.kept.once(MoversByPoints, MoversByPoints)
        self.movers: Movers = by_points.of(run, slots, points)
        self.ends = self._run_ends(run)
        self._between: dict[int, Combined] = {}

    def _run_ends(self, run: Run) -> list[tuple[End, End]]:
        """What each mover reaches, at its low and at its high end; the run itself stands in for a typical
        value.
        """
        changes, reached, counts = [], [], []
        for mover in self.movers.all:
            ends = mover.ends or run.known.tolerances[mover.name]
            counts.append(len(ends))
            changes += [Change(mover.chain, {mover.slot: end}) for end in ends]
            reached += [mover.reached] * len(ends)
        read = iter(readings(self.movers.reruns, run.figures, changes, reached))
        return [(next(read), next(read) if count > 1 else {}) for count in counts]

    def between(self, slot: int) -> Combined:
        """From where to where a value may lie."""
        if slot not in self._between:
            value = self.base[slot]
            ends = [self.ends[position] for position in self.movers.touching(slot, None)]
            self._between[slot] = combined(
                value, [(low.get(slot, value), high.get(slot, value)) for low, high in ends]
            )
        return self._between[slot]

    def of(self, judged: JudgedCheck) -> Spread | None:
        """The spread of one judgement; None where nothing moves it."""
        limit = judged.judgement.counting
        moved = self._first_moved(limit, judged.judgement.point_plan)
        if moved is None:
            return None
        # As far as the verdicts reach, or the two would disagree.
        *_, low, high = self.between(limit.slot)
        spread = Spread(low, high, self._could_be(judged.plan, judged.judgement.point_plan))
        widths = self._squared_widths(moved)
        total = sum(widths.values())
        for (stated, name), width in sorted(widths.items(), key=lambda item: -item[1]):
            (spread.stated if stated else spread.shares)[name] = width / total
        return spread

    def _first_moved(self, counting: Limit, decided: PointPlan) -> Limit | None:
        """The limit that doubt is about: the one that counted or, where nothing moves that, another of its
        point, the most serious first.
        """
        for limit in (counting, *reversed(decided.limits)):
            if self.movers.touching(limit.slot, limit.limit_slot):
                return limit
        return None

    def _squared_widths(self, limit: Limit) -> dict[tuple[bool, str], float]:
        """How much each cause moves the value against its limit, by (stated, name)."""
        base = self._gap({}, limit)
        widths: dict[tuple[bool, str], float] = {}
        for position in self.movers.touching(limit.slot, limit.limit_slot):
            mover = self.movers.all[position]
            if mover.cause:
                low, high = sorted(self._gap(end, limit) for end in self.ends[position])
                width = max(high, base) - min(low, base)
                if width > 0:
                    key = (mover.stated, mover.cause)
                    widths[key] = widths.get(key, 0.0) + width * width
        return widths

    def _gap(self, end: End, limit: Limit) -> float:
        """A value above its limit, where the limit moves as well; as in the run where an end has none."""
        slot, limit_slot, base = limit.slot, limit.limit_slot, self.base
        gap = end.get(slot, base[slot])
        if limit_slot is not None:
            gap -= end.get(limit_slot, base[limit_slot])
        return gap if gap == gap or not end else self._gap({}, limit)

    # Which verdicts a check can reach. At each point the ends of its value are held against each limit:
    #
    #     warn at 80, fail at 92        could be
    #     |74====90|                    pass, warn     a limit inside the range may or may not be crossed
    #           |83====95|              warn, fail     the warn limit is crossed whatever is assumed
    #
    # Only the point that decided has been run with each mover at its ends. Every other point is taken to move
    # by the same shift, along its own limits. Then the points are put together as judging does, worst first:
    # the check can fail if any point can; it can warn or pass only if no point fails for certain; it passes
    # only if every point can pass. Last come the things that soften or sharpen a verdict: a check that is
    # eased warns where it failed, and a second look that fails turns a pass into a warning.
    def _could_be(self, plan: CheckPlan, decided: PointPlan) -> tuple[str, ...]:
        """The verdicts the check can reach over all its points."""
        *_, least, most = self.between(decided.slot)
        value = self.base[decided.slot]
        shift = (least - value, most - value)
        points = self._reached(plan.points, shift, decided)
        could = set()
        if any("fail" in verdicts for verdicts in points):
            could.add("fail")
        if all(verdicts != {"fail"} for verdicts in points):
            if any("warn" in verdicts for verdicts in points):
                could.add("warn")
            if all("pass" in verdicts for verdicts in points):
                could.add("pass")
        if plan.eased and "fail" in could:
            could = (could - {"fail"}) | {"warn"}
        if "pass" in could and plan.second_look:
            second_look = self._reached(plan.second_look, shift, None)
            if any("fail" in verdicts for verdicts in second_look):
                could.add("warn")
            if any(verdicts == {"fail"} for verdicts in second_look):
                could.discard("pass")
        return tuple([verdict for verdict in VERDICTS if verdict in could])

    def _reached(
        self, points: list[PointPlan], shift: tuple[float, float], decided: PointPlan | None
    ) -> list[set[str]]:
        """The verdicts each point can reach; the one that decided by its runs, the others by its shift."""
        return [
            self._at_point(point_plan, None if point_plan is decided else shift)
            for point_plan in points
            if point_plan.slot not in self.failed
        ]

    def _at_point(self, point_plan: PointPlan, shift: tuple[float, float] | None) -> set[str]:
        """The verdicts one point can reach."""
        may_warn, must_warn = self._crossed(point_plan, "warn", shift)
        may_fail, must_fail = self._crossed(point_plan, "fail", shift)
        could = set()
        if may_fail:
            could.add("warn" if point_plan.at_worst else "fail")
        if may_warn and not must_fail:
            could.add("warn")
        if not must_warn and not must_fail:
            could.add("pass")
        return could

    def _crossed(
        self, point_plan: PointPlan, level: str, shift: tuple[float, float] | None
    ) -> tuple[bool, bool]:
        """Whether any limit of a level may be crossed, and whether one is crossed whatever is assumed."""
        may = must = False
        for limit in point_plan.limits:
            if limit.level != level or limit.slot in self.failed or limit.limit_slot in self.failed:
                continue
            moved = shift if shift is None or limit.slot == point_plan.slot else NO_SHIFT
            low, high = self._past(limit, moved)
            if not limit.above:
                low, high = -high, -low
            within = AT_LIMIT * abs(limit.value(self.base))
            may = may or high > within
            must = must or low > within
        return may, must

    def _past(self, limit: Limit, shift: tuple[float, float] | None) -> tuple[float, float]:
        """From where to where a value lies above its limit: by a shift, or without one by its own runs."""
        over = self._gap({}, limit)
        if shift:
            over -= limit.number
            return over + shift[0], over + shift[1]
        if limit.limit_slot is None:
            *_, least, most = self.between(limit.slot)
            return least - limit.number, most - limit.number
        ends = [self.ends[position] for position in self.movers.touching(limit.slot, limit.limit_slot)]
        *_, least, most = combined(
            over, [(self._gap(low, limit), self._gap(high, limit)) for low, high in ends]
        )
        return least, most
