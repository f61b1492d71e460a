"""From the set of known names and choices to a list of steps and a judgement plan for each check; kept in a bounded cache."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from service.evaluation.planning.needs import Group, Needs, smallest
from service.evaluation.planning.resolve import Lean, Resolution
from service.evaluation.planning.steps import Step, make_steps
from service.rulebook.files.text import Sentence
from service.rulebook.formulas.graph import Node, RouteNode
from service.rulebook.input import UNKNOWN
from service.rulebook.model import Bound, Check, Contradiction
from service.rulebook.names import at_point, identifier
from service.rulebook.rulebook import Rulebook


@dataclass(slots=True)
class Judged:
    """One value to judge: the operating point, its slot, and the limits resolved for this build."""

    point: str | None
    slot: int
    bounds: dict[str, list[tuple[Bound, int, float | None, int | None]]]
    at_worst: str | None
    second: bool = False


@dataclass(slots=True)
class CheckPlan:
    """How one check is judged in this plan."""

    check: Check
    judged: list[Judged]
    second: list[Judged]
    above: list[tuple[int, float]]
    not_judged: list[str]
    leaning: list[str]
    needs: list[Group]
    eased: bool
    static: dict = field(default_factory=dict)


@dataclass(slots=True)
class Comparison:
    """Routes to one quantity that need no assumption and have to agree."""

    node: Node
    routes: list[RouteNode]


@dataclass
class Plan:
    """Everything about an evaluation that hangs on names and choices only."""

    resolution: Resolution
    template: list
    steps: list[Step]
    checks: list[CheckPlan]
    not_checked: list[tuple[str, list[Group]]]
    not_applicable: list[tuple[str, str]]
    comparisons: list[Comparison]
    contradictions: list[tuple[Contradiction, int]]
    consistency: Check | None
    leans: list[Lean]
    texts: dict = field(default_factory=dict)
    movers: dict = field(default_factory=dict)
    reruns: object = None


# No check of this name: a plan that only works out names.
NO_CHECKS = ("-",)


def slots_read(one: CheckPlan) -> Iterator[int]:
    """Every slot a verdict reads."""
    for slot, _ in one.above:
        yield slot
    for here in (*one.judged, *one.second):
        yield here.slot
        for bounds in here.bounds.values():
            for _, slot, _, limit_slot in bounds:
                yield slot
                if limit_slot is not None:
                    yield limit_slot


def make_plan(
    rulebook: Rulebook, resolution: Resolution, wanted: tuple[str, ...], also: tuple[str, ...] = ()
) -> Plan:
    """Plan the checks wanted (all, in the rulebook's order, when none is named), and other names to be worked out."""
    return _Planner(rulebook, resolution).plan(wanted, also)


class _Planner:
    def __init__(self, rulebook: Rulebook, resolution: Resolution):
        self.rulebook = rulebook
        self.graph = rulebook.graph
        self.resolution = resolution
        self.needs = Needs(resolution)
        self.wanted: dict[str, None] = {}
        # Assumptions are named in the order of the rulebook, whole tables first.
        self.ranks = {
            lean: rank
            for rank, lean in enumerate(
                [*(f"table:{name}" for name in rulebook.tables), *rulebook.assumptions]
            )
        }

    def plan(self, wanted: tuple[str, ...], also: tuple[str, ...]) -> Plan:
        for name in also:
            self._want(name)
        checks, not_checked, not_applicable = [], [], []
        consistency = None
        for check in self.rulebook.checks.values():
            if wanted and check.id not in wanted:
                continue
            if check.collects:
                consistency = check
                continue
            made = self._check(check)
            if isinstance(made, CheckPlan):
                checks.append(made)
                if made.needs:
                    not_checked.append((check.id, made.needs))
            elif isinstance(made, str):
                not_applicable.append((check.id, made))
            else:
                not_checked.append((check.id, made))
        comparisons, contradictions = self._consistency(consistency) if consistency else ([], [])
        for made in checks:
            self._say(made.check)
        if consistency:
            self._say(consistency)
        for moment in self.rulebook.moments.values():
            for item in moment.watch:
                self._put_in(item.sentences, (None,))
        steps = make_steps(self.graph, self.resolution, self.wanted)
        template: list = [None] * len(self.graph.slots)
        for name, value in self.resolution.preset.items():
            template[self.graph.slots[name]] = value
        used = dict.fromkeys(lean for one in checks for lean in one.leaning)
        leans = [self.resolution.leans[id] for id in used]
        return Plan(
            self.resolution,
            template,
            steps,
            checks,
            not_checked,
            not_applicable,
            comparisons,
            contradictions,
            consistency,
            leans,
        )

    def _check(self, check: Check) -> CheckPlan | str | list[Group]:
        guard = self.needs.guard(check.applies_when)
        if guard is None:
            return check.otherwise
        if guard:
            return guard
        above, missing = [], []
        for name, number in check.applies_above:
            if self.resolution.known(identifier(name)):
                above.append((self._slot(identifier(name)), number))
            else:
                missing += self.needs.of(identifier(name)) or []
        judged, second, not_judged = [], [], []
        leaning: dict[str, None] = {}
        for point in check.points or (None,):
            if point and not self.resolution.holds(self.rulebook.points[point].when):
                continue
            name = self.rulebook.identify(check.judges, point)
            lacking = self._lacking(check, point)
            if lacking is None:
                judged.append(self._judged(check, point, name, leaning))
            else:
                not_judged.append(point)
                missing += lacking
        for point in check.also_at:
            if (
                self.resolution.holds(self.rulebook.points[point].when)
                and self._lacking(check, point) is None
            ):
                judged.append(
                    self._judged(check, point, self.rulebook.identify(check.judges, point), leaning)
                )
        for point in check.second_look:
            if (
                self.resolution.holds(self.rulebook.points[point].when)
                and self._lacking(check, point) is None
            ):
                second.append(
                    self._judged(check, point, self.rulebook.identify(check.judges, point), leaning)
                )
        missing = smallest(missing)
        if not judged or any(not self.resolution.known(identifier(name)) for name, _ in check.applies_above):
            return missing
        eased = bool(check.eased_when) and self.resolution.holds(check.eased_when)
        return CheckPlan(
            check,
            judged,
            second,
            above,
            [point for point in not_judged if point],
            list(leaning),
            missing,
            eased,
        )

    def _lacking(self, check: Check, point: str | None) -> list[Group] | None:
        """None when the check can be judged at this point, else what it lacks."""
        names = [self.rulebook.identify(check.judges, point)]
        for bounds in check.limits.values():
            for bound in bounds:
                names.append(self.rulebook.identify(bound.judges, point))
                if bound.quantity:
                    names.append(self.rulebook.identify(bound.quantity, point))
        lacking = [self.needs.of(name) for name in dict.fromkeys(names) if not self.resolution.known(name)]
        if not lacking:
            return None
        return smallest([group for groups in lacking for group in groups or []])

    def _judged(self, check: Check, point: str | None, name: str, leaning: dict[str, None]) -> Judged:
        bounds: dict[str, list] = {}
        for level, limits in check.limits.items():
            bounds[level] = []
            for bound in limits:
                number, limit_slot = bound.number, None
                if bound.quantity:
                    limit_slot = self._slot(self.rulebook.identify(bound.quantity, point), leaning)
                elif bound.rows:
                    words = tuple(self.resolution.choices.get(choice, UNKNOWN) for choice in bound.by)
                    number = next(
                        value
                        for row, value in bound.rows
                        if all(one in ("*", word) for one, word in zip(row, words))
                    )
                bounds[level].append(
                    (
                        bound,
                        self._slot(self.rulebook.identify(bound.judges, point), leaning),
                        number,
                        limit_slot,
                    )
                )
        at_worst = None
        if (
            point
            and self.rulebook.points[point].assumed_at_worst
            and any(
                self.resolution.lean(at_point(word, point))
                for word in self.rulebook.points[point].words
                if self.resolution.known(at_point(word, point))
            )
        ):
            at_worst = self.rulebook.points[point].assumed_at_worst
        return Judged(point, self._slot(name, leaning), bounds, at_worst)

    def _slot(self, name: str, leaning: dict[str, None] | None = None) -> int:
        """The slot of a known name, which the run has to fill."""
        self.wanted[name] = None
        if leaning is not None:
            leaning.update(dict.fromkeys(sorted(self.resolution.lean(name), key=self.ranks.__getitem__)))
        return self.graph.slots[name]

    def _consistency(self, check: Check) -> tuple[list[Comparison], list[tuple[Contradiction, int]]]:
        comparisons = []
        for node in self.graph.nodes.values():
            if node.quantity.agree_within is None:
                continue
            routes = self.resolution.agreeing(node)
            if len(routes) > 1:
                comparisons.append(Comparison(node, routes))
                self.wanted[node.id] = None
                for route in routes:
                    for name in route.names:
                        self.wanted[name] = None
        contradictions = []
        for one in check.contradictions:
            name = identifier(one.quantity)
            if self.resolution.holds(one.when) and self.resolution.known(name):
                contradictions.append((one, self._slot(name)))
        return comparisons, contradictions

    def _say(self, check: Check) -> None:
        """What the check's sentences name has to be run as well, where it can be."""
        sentences = [sentence for text in check.text.values() for sentence in text]
        sentences += [sentence for one in check.contradictions for sentence in one.text]
        sentences += check.watch.sentences if check.watch else ()
        self._put_in(sentences, (*check.points, *check.also_at, *check.second_look, None))
        for name in check.shows:
            for point in (*check.points, *check.also_at, None):
                self._want(self.rulebook.identify(name, point))

    def _put_in(self, sentences: Iterable[Sentence], points: tuple[str | None, ...]) -> None:
        for gap in (gap for sentence in sentences for gap in sentence.placeholders):
            for point in (gap.point,) if gap.point else points:
                self._want(self.rulebook.identify(gap.name, point))

    def _want(self, name: str) -> None:
        if name in self.graph.nodes and self.resolution.known(name):
            self.wanted[name] = None
