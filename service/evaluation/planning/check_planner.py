"""From a check of the rulebook to how it is judged in one plan, or to why it is not."""

from collections.abc import Iterable

from service.evaluation.planning.check_names import NamesRead
from service.evaluation.planning.check_plan import GUARD, LEVELS, CheckPlan, Limit, PointPlan, Threshold
from service.evaluation.planning.needs import Group, Lacking, Needs
from service.evaluation.planning.resolve import Resolution
from service.rulebook.check import Bound, Check, Requirements
from service.rulebook.input import UNKNOWN
from service.rulebook.names import at_point, identifier


class CheckPlanner:
    """Plans the checks of one plan; `to_fill` collects the names that the run has to fill."""

    def __init__(self, resolution: Resolution, to_fill: dict[str, None]):
        self.rulebook = resolution.rulebook
        self.resolution = resolution
        self.needs = Needs(resolution)
        self.to_fill = to_fill
        self.read_by = self.rulebook.kept.once(NamesRead, lambda: NamesRead(self.rulebook))
        # Assumptions are named in the order of the rulebook, whole tables first.
        ordered = [*(f"table:{name}" for name in self.rulebook.tables), *self.rulebook.assumptions]
        self.ranks = {lean: rank for rank, lean in enumerate(ordered)}

    def plan(self, check: Check) -> CheckPlan | str | Lacking:
        """The plan of a check; the reason why it does not apply; or the inputs it lacks."""
        guard = self.needs.guard(check.applies_when)
        if guard is None:
            return check.otherwise or ""
        if guard:
            return Lacking(self.needs, guard)
        above, unknown = self._thresholds(check)
        if check.requires:
            lacking = Lacking(self.needs, names=unknown)
            return lacking if lacking else self._required(check, check.requires, above)
        points, not_judged = [], []
        leaning: dict[str, None] = {}
        for point in self._standing(check.points) if check.points else (None,):
            unknown_there = self._unknown(check, point)
            if unknown_there:
                not_judged.append(point)
                unknown += unknown_there
            else:
                points.append(self._point_plan(check, point, leaning))
        points += self._where_known(check, check.also_at, leaning)
        second_look = self._where_known(check, check.second_look, leaning)
        lacking = Lacking(self.needs, names=unknown)
        if not points or len(above) < len(check.applies_above):
            return lacking
        return CheckPlan(
            check,
            points,
            second_look,
            above,
            [point for point in not_judged if point],
            list(leaning),
            lacking,
            bool(check.eased_when) and self.resolution.holds(check.eased_when),
        )

    def _required(self, check: Check, requires: Requirements, above: list[Threshold]) -> CheckPlan | Lacking:
        """A check of what has to be there: judged as soon as something is missing, or when all is known to be
        there.
        """
        missing: list[str] = []
        lacking: list[Group] = []
        for requirement in requires.each:
            guard = self.needs.guard(requirement.when)
            lacking += guard or []
            if guard is None or guard:
                continue
            for choice, words in requirement.choices.items():
                word = self.resolution.choices.get(choice, UNKNOWN)
                if word == UNKNOWN and UNKNOWN not in words and not requires.silence_is_missing:
                    lacking.append((self.needs.choice_input(choice),))
                elif word not in words:
                    missing.append(choice)
        if lacking and not missing:
            return Lacking(self.needs, lacking)
        slot = self._flag(requires.flag, bool(missing))
        limit = Limit(requires.if_missing, Bound(GUARD, requires.source, ""), slot, 1.0)
        point_plan = PointPlan(None, slot, (limit,), None)
        return CheckPlan(
            check, [point_plan], [], above, [], [], Lacking(self.needs), False, missing=tuple(missing)
        )

    def _flag(self, name: str, crossed: bool) -> int:
        """The slot of a yes or no that guards decide: below one where they hold."""
        self.resolution.preset[name] = 0.0 if crossed else 1.0
        return self.rulebook.graph.slots[name]

    def slot(self, name: str, leaning: dict[str, None] | None = None) -> int:
        """The slot of a known name, which the run has to fill; `leaning` takes the assumptions behind it."""
        self.to_fill[name] = None
        if leaning is not None:
            leaning.update(dict.fromkeys(sorted(self.resolution.lean(name), key=self.ranks.__getitem__)))
        return self.rulebook.graph.slots[name]

    def _thresholds(self, check: Check) -> tuple[list[Threshold], list[str]]:
        """What has to be above a number for the check to apply, and the names of that which are unknown."""
        above: list[Threshold] = []
        unknown: list[str] = []
        for name, number in ((guard.quantity, guard.number) for guard in check.applies_above):
            if self.resolution.known(identifier(name)):
                above.append(Threshold(self.slot(identifier(name)), number))
            else:
                unknown.append(identifier(name))
        return above, unknown

    def _standing(self, points: Iterable[str]) -> list[str]:
        """The operating points that this build has."""
        return [point for point in points if self.resolution.holds(self.rulebook.points[point].when)]

    def _where_known(
        self, check: Check, points: tuple[str, ...], leaning: dict[str, None]
    ) -> list[PointPlan]:
        """Of the points of this build those at which nothing is lacking."""
        known = [point for point in self._standing(points) if not self._unknown(check, point)]
        return [self._point_plan(check, point, leaning) for point in known]

    def _unknown(self, check: Check, point: str | None) -> list[str]:
        """The names that keep a check from being judged at this point."""
        names = self.read_by.of(check, point)
        return [name for name in names if not self.resolution.known(name)]

    def _point_plan(self, check: Check, point: str | None, leaning: dict[str, None]) -> PointPlan:
        limits = [
            self._limit(level, bound, point, leaning)
            for level, bounds in check.limits.items()
            for bound in bounds
        ]
        limits.sort(key=lambda limit: LEVELS.index(limit.level))
        slot = self.slot(self._judged_name(check, point), leaning)
        return PointPlan(point, slot, tuple(limits), self._at_worst(point) if point else None)

    def _limit(self, level: str, bound: Bound, point: str | None, leaning: dict[str, None]) -> Limit:
        number, limit_slot = bound.number, None
        if bound.flag:
            slot = self._flag(bound.flag, self.resolution.holds(bound.when))
            return Limit(level, bound, slot, 1.0)
        if bound.quantity:
            limit_slot = self.slot(self.rulebook.identify(bound.quantity, point), leaning)
        elif bound.rows:
            number = self.resolution.row_of(bound.by, [(row.words, row.number) for row in bound.rows])
        slot = self.slot(self.rulebook.identify(bound.judges, point), leaning)
        return Limit(level, bound, slot, number or 0.0, limit_slot)

    def _at_worst(self, point: str) -> str | None:
        """The worst verdict at a point whose words are assumed; None where they are known or may count in
        full.
        """
        operating_point = self.rulebook.points[point]
        names = [at_point(word, point) for word in operating_point.words]
        assumed = any(self.resolution.lean(name) for name in names if self.resolution.known(name))
        return operating_point.assumed_at_worst if assumed else None

    def _judged_name(self, check: Check, point: str | None) -> str:
        # A check that judges nothing collects findings and is never planned here.
        return self.rulebook.identify(check.judges or "", point)
