"""What a plan reads of a build: the inputs behind the checks it judges, its figures and its comparisons."""

from collections.abc import Iterable
from typing import NamedTuple

from service.evaluation.planning.check_plan import CheckPlan
from service.evaluation.planning.needs import Needs
from service.evaluation.planning.plan import Plan
from service.rulebook.check import Check
from service.rulebook.formulas.graph import RouteNode
from service.rulebook.model import Guard
from service.rulebook.names import identifier, split_point


class InputsRead(NamedTuple):
    """The inputs that one plan reads, by path; `judged`: those behind its checks alone."""

    all: frozenset[str]
    judged: frozenset[str]


def inputs_read(plan: Plan) -> InputsRead:
    """Those of a plan, looked for once."""
    return plan.kept.once(InputsRead, lambda: _Reading(plan).inputs_read)


class _InputsByIdentifier(dict[str, str]):
    """The path of each input by whatever name a rule has for it."""


class _Reading:
    """Follows a plan down to its inputs; of a quantity with several routes the one taken counts, and what its
    guards look at.
    """

    def __init__(self, plan: Plan):
        self.resolution = plan.resolution
        self.rulebook = plan.resolution.rulebook
        self.needs = Needs(plan.resolution)
        self.inputs = self.rulebook.kept.once(_InputsByIdentifier, self._by_identifier)
        self.names: set[str] = set()
        self.paths: set[str] = set()
        for check_plan in plan.checks:
            self._check(check_plan)
        judged = frozenset(self.paths)
        for figure_plan in plan.figures:
            self._name(figure_plan.name)
        for comparison in plan.comparisons:
            for route in comparison.routes:
                self._route(route)
        for contradiction, _ in plan.contradictions:
            self._guards([contradiction.when])
            self._name(identifier(contradiction.quantity))
        for rule in self.rulebook.scope.values():
            self.paths.update(rule.inputs)
        self.inputs_read = InputsRead(frozenset(self.paths), judged)

    def _by_identifier(self) -> _InputsByIdentifier:
        # A guard may name an input that is given in several ways by its path.
        return _InputsByIdentifier(
            {identifier(path): path for path in self.rulebook.inputs} | self.needs.inputs
        )

    def _check(self, check_plan: CheckPlan) -> None:
        check = check_plan.check
        for guard in _guards_of(check):
            self._guards([guard])
        points = [point_plan.point for point_plan in (*check_plan.points, *check_plan.second_look)]
        for name in _names_of(check):
            for point in points or [None]:
                self._name(self.rulebook.identify(name, point))

    def _guards(self, guards: Iterable[Guard]) -> None:
        self.paths.update(self.needs.choice_input(choice) for guard in guards for choice in guard)

    def _name(self, name: str) -> None:
        """Follows one name down to the inputs it rests on."""
        if name in self.names:
            return
        self.names.add(name)
        if name in self.inputs:
            self.paths.add(self.inputs[name])
        elif name in self.rulebook.graph.nodes:
            route = self.resolution.route(name)
            self._guards(route.when for route in self.rulebook.graph.nodes[name].routes)
            if route:
                self._route(route)
        else:
            self._fact(name)

    def _route(self, route: RouteNode) -> None:
        for used in (*route.names, *route.route.given):
            self._name(used)
        # A given input may close a route: then it decided as well.
        self.paths.update(self.inputs[name] for name in route.route.without)

    def _fact(self, name: str) -> None:
        """An assumption goes by choices, a table by its key, the words of a point by their own routes."""
        head, _, tail = name.partition("__")
        if head in ("assumed", "lowest", "highest"):
            assumption = self.rulebook.assumptions[tail]
            self.paths.update(self.needs.choice_input(choice) for choice in assumption.by)
            if assumption.stands_for:
                self.paths.add(assumption.stands_for)
        elif head in self.rulebook.tables:
            self.paths.add(self.rulebook.tables[head].key)
        elif head != "point" and split_point(name)[0] != name:
            self._name(split_point(name)[0])


def _names_of(check: Check) -> list[str]:
    """What a check judges, what it is held against, and what its sentences tell."""
    names = [check.judges or "", *check.shows, *(guard.quantity for guard in check.applies_above)]
    for bound in check.bounds:
        names += [bound.judges, bound.quantity or ""]
    names += [gap.name for text in check.text.values() for sentence in text for gap in sentence.placeholders]
    return [name for name in names if name]


def _guards_of(check: Check) -> list[Guard]:
    guards = [check.applies_when, check.eased_when, *(bound.when for bound in check.bounds)]
    guards += [dict.fromkeys(bound.by, frozenset[str]()) for bound in check.bounds]
    for part in check.requires.each if check.requires else ():
        guards += [part.when, part.choices]
    return guards
