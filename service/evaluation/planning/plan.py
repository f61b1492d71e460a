"""From the set of known names and choices to the steps of a run and how each check is judged; cached,
bounded.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import nan
from typing import NamedTuple

from service.evaluation.planning.check_names import NamesSaid
from service.evaluation.planning.check_plan import CheckPlan, OutOfScope, Threshold
from service.evaluation.planning.check_planner import CheckPlanner
from service.evaluation.planning.lean import Lean
from service.evaluation.planning.needs import Group, Lacking
from service.evaluation.planning.resolve import Resolution
from service.evaluation.planning.scope import Scope
from service.evaluation.planning.steps import Step, make_steps
from service.kept import Kept
from service.rulebook.check import Check, Contradiction, Figure, ScopeRule
from service.rulebook.formulas.graph import Node, RouteNode
from service.rulebook.names import identifier

# No check of this name: a plan that only works out names.
NO_CHECKS = ("-",)


class NotChecked(NamedTuple):
    """A check that lacks inputs: one of each group."""

    check: str
    needs: Sequence[Group]
    scope: ScopeRule | None = None
    """What the rules do not model of this build, where that is why."""


class NotApplicable(NamedTuple):
    """A check that is not for this build, and why."""

    check: str
    reason: str


class ContradictionPlan(NamedTuple):
    """A contradiction that this build may hold, and the slot that shows it."""

    contradiction: Contradiction
    slot: int


class FigurePlan(NamedTuple):
    """A figure that this build gives, the name and slot of its quantity, and the assumptions behind it."""

    figure: Figure
    name: str
    slot: int
    leaning: list[str]


@dataclass(slots=True)
class Comparison:
    """Routes to one quantity that need no assumption and have to agree."""

    node: Node
    routes: list[RouteNode]


@dataclass
class Plan:
    """Everything about an evaluation that depends on names and choices only."""

    resolution: Resolution
    template: list[float]
    steps: list[Step]
    checks: list[CheckPlan]
    not_checked: list[NotChecked]
    not_applicable: list[NotApplicable]
    comparisons: list[Comparison]
    contradictions: list[ContradictionPlan]
    consistency: Check | None
    leans: list[Lean]
    scope: list[ScopeRule] = field(default_factory=list)
    figures: list[FigurePlan] = field(default_factory=list)
    set_aside: list[Contradiction] = field(default_factory=list)
    """Contradictions for which something that was said is not believed."""
    kept: Kept = field(default_factory=Kept)

    @property
    def moving_leans(self) -> list[Lean]:
        """The assumptions behind the checks and behind the figures."""
        behind = [lean for figure_plan in self.figures for lean in figure_plan.leaning]
        leans = {lean.id: lean for lean in self.leans}
        return list((leans | {id: self.resolution.leans[id] for id in behind}).values())

    @property
    def is_petrol_engine(self) -> bool:
        """Whether usual values hold, which are those of four-stroke petrol engines."""
        return all(rule.keeps is None for rule in self.scope)


def make_plan(resolution: Resolution, checks: tuple[str, ...], also: tuple[str, ...] = ()) -> Plan:
    """Plan the checks named (all, in the rulebook's order, when none is), and other names to work out."""
    return _Planner(resolution).plan(checks, also)


class _Planner:
    def __init__(self, resolution: Resolution):
        self.rulebook = resolution.rulebook
        self.graph = self.rulebook.graph
        self.resolution = resolution
        # The names that the run has to fill, in the order they were asked for.
        self.to_fill: dict[str, None] = {}
        self.checks = CheckPlanner(resolution, self.to_fill)

    def plan(self, named: tuple[str, ...], also: tuple[str, ...]) -> Plan:
        for name in also:
            self._want(name)
        plan = Plan(self.resolution, [], [], [], [], [], [], [], None, [])
        scope = Scope(self.resolution)
        plan.scope = scope.there
        for check in self.rulebook.checks.values():
            if named and check.id not in named:
                continue
            stopped_by = None if check.collects else scope.stops(check.id)
            if stopped_by:
                plan.not_checked.append(NotChecked(check.id, [], stopped_by))
            elif check.collects:
                plan.consistency = check
            else:
                self._place(check, plan)
        self._bound_by_numbers(plan, scope)
        if plan.consistency:
            plan.comparisons = self._comparisons()
            plan.contradictions = self._contradictions(plan.consistency)
            plan.set_aside = [
                contradiction
                for contradiction in plan.consistency.contradictions
                if contradiction.id in self.resolution.set_aside
            ]
        self._want_what_is_said(plan)
        if not named and not also:
            plan.figures = self._figures(scope)
        plan.steps = make_steps(self.graph, self.resolution, self.to_fill)
        # What a plan does not fill is not a number; no step or verdict of it reads there.
        plan.template = [nan] * len(self.graph.slots)
        for name, value in self.resolution.preset.items():
            plan.template[self.graph.slots[name]] = value
        assumed = dict.fromkeys(lean for check_plan in plan.checks for lean in check_plan.leaning)
        plan.leans = [self.resolution.leans[id] for id in assumed]
        return plan

    def _bound_by_numbers(self, plan: Plan, scope: Scope) -> None:
        """What keeps a check from being judged once numbers pass limits."""
        for check_plan in plan.checks:
            check_plan.outside = [
                OutOfScope(
                    rule, [Threshold(self.checks.slot(identifier(name)), number) for name, number in limits]
                )
                for rule, limits in scope.beyond(check_plan.check.id)
            ]

    def _place(self, check: Check, plan: Plan) -> None:
        """Puts a check where it belongs: judged, not applicable, or not checked for want of inputs."""
        outcome = self.checks.plan(check)
        if isinstance(outcome, str):
            plan.not_applicable.append(NotApplicable(check.id, outcome))
        elif isinstance(outcome, Lacking):
            plan.not_checked.append(NotChecked(check.id, outcome))
        else:
            plan.checks.append(outcome)
            if outcome.needs:
                plan.not_checked.append(NotChecked(check.id, outcome.needs))

    def _comparisons(self) -> list[Comparison]:
        comparisons = []
        for node in self.graph.nodes.values():
            if node.quantity.agree_within is None:
                continue
            routes = self.resolution.agreeing(node)
            if len(routes) > 1:
                comparisons.append(Comparison(node, routes))
                self.to_fill.update(
                    dict.fromkeys([node.id, *(name for route in routes for name in route.names)])
                )
        return comparisons

    def _contradictions(self, check: Check) -> list[ContradictionPlan]:
        return [
            ContradictionPlan(contradiction, self.checks.slot(name))
            for contradiction in check.contradictions
            if self.resolution.holds(contradiction.when)
            and self.resolution.known(name := identifier(contradiction.quantity))
        ]

    def _figures(self, scope: Scope) -> list[FigurePlan]:
        """The figures that can be worked out; one that was simply given is no news."""
        plans = []
        for figure in self.rulebook.figures.values():
            name = self.rulebook.identify(figure.quantity, figure.point)
            route = self.resolution.route(name)
            if route is None or (figure.with_check and scope.stops(figure.with_check)):
                continue
            if (
                route.names == (identifier(route.route.formula.text),)
                and route.names[0] in self.resolution.given
            ):
                continue
            leaning = sorted(self.resolution.lean(name))
            plans.append(FigurePlan(figure, name, self.checks.slot(name), leaning))
        return plans

    def _want_what_is_said(self, plan: Plan) -> None:
        """What sentences name has to be run as well, where it can be."""
        said = self.rulebook.kept.once(NamesSaid, lambda: NamesSaid(self.rulebook))
        for check_plan in plan.checks:
            self._want_all(said.of(check_plan.check))
        if plan.consistency:
            self._want_all(said.of(plan.consistency))
        self._want_all(said.of_moments)

    def _want_all(self, names: Iterable[str]) -> None:
        for name in names:
            if self.resolution.known(name):
                self.to_fill[name] = None

    def _want(self, name: str) -> None:
        if name in self.graph.nodes and self.resolution.known(name):
            self.to_fill[name] = None
