"""A build tried with other values in a few places: only what depends on them is run again."""

from collections.abc import Iterator
from functools import partial

from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.consistency import Finding, findings_of, worst_verdict
from service.evaluation.judging.judge import SEVERITY, Judgement, judge
from service.evaluation.known import Known
from service.evaluation.planning.plan import Plan
from service.evaluation.running.reruns import Change, Reruns
from service.evaluation.running.run import Figures, Run
from service.rulebook.check import ScopeRule
from service.rulebook.formulas.graph import Graph

# A judgement; what is not modelled; the step that failed; or a check that does not apply.
Outcome = Judgement | ScopeRule | int | None


class Trial:
    """One build and the places that are changed, over the checks asked for (all where none is named)."""

    def __init__(self, evaluator: Evaluator, known: Known, checks: tuple[str, ...], values: dict[str, float]):
        self.evaluator = evaluator
        self.usual = evaluator.reporter.usual
        self.base = evaluator.run(known.with_numbers(values), checks)
        self.plan = self.base.plan
        self.all_slots = evaluator.slots
        self.slots = {name: evaluator.slots[name] for name in values}
        self.reruns = self.plan.kept.once(Reruns, partial(_reruns, self.plan, evaluator.rulebook.graph))
        self.chain = self.reruns.chain(*self.slots.values())

    def depending(self) -> frozenset[str]:
        """The checks whose verdicts the places can change."""
        changed = self.chain.changes
        return frozenset(
            check_plan.check.id
            for check_plan in self.plan.checks
            if not changed.isdisjoint(check_plan.slots_read())
        )

    def reaches(self, name: str, check: str) -> bool:
        """Whether a name can change the verdict of a check."""
        changed = self.reruns.chain(self._slot(name)).changes
        plans = (check_plan for check_plan in self.plan.checks if check_plan.check.id == check)
        return any(not changed.isdisjoint(check_plan.slots_read()) for check_plan in plans)

    def figures(self, changes: list[dict[str, float]]) -> list[Figures]:
        """The figures after each change, all run together; a change may name assumptions as well."""
        asked = []
        for values in changes:
            by_slot = {self._slot(name): value for name, value in values.items()}
            chain = self.chain if by_slot.keys() == set(self.slots.values()) else self.reruns.chain(*by_slot)
            asked.append(Change(chain, by_slot))
        return self.reruns.run(self.base.figures, asked)

    def _slot(self, name: str) -> int:
        return self.slots[name] if name in self.slots else self.all_slots[name]

    def verdicts(self, values: dict[str, float], until: str | None = None) -> dict[str, str]:
        """The verdict of each check with other values in the places; `until`: stop at the first one worse
        than that.
        """
        (figures,) = self.figures([values])
        return self._verdicts(figures, self.base.known.with_numbers(values), until)

    def base_verdicts(self) -> dict[str, str]:
        """The verdict of each check with the values that the trial began with."""
        return self._verdicts(self.base.figures, self.base.known, None)

    def findings(self) -> list[Finding]:
        """What the spec says against itself with the values that the trial began with."""
        return findings_of(self.usual, self.base) if self.plan.consistency else []

    def outside(self, values: dict[str, float]) -> dict[str, ScopeRule]:
        """The checks that the rules do not model with other values in the places, and the rule that tells."""
        (figures,) = self.figures([values])
        return self._outside(figures)

    def base_outside(self) -> dict[str, ScopeRule]:
        """The same with the values that the trial began with."""
        return self._outside(self.base.figures)

    def verdict(self, check: str, values: dict[str, float]) -> str | None:
        """The verdict of one check with other values in the places; where it does not apply there is nothing
        wrong. None where it cannot be judged.
        """
        (figures,) = self.figures([values])
        known = self.base.known.with_numbers(values)
        verdict = self._verdicts(figures, known, None).get(check)
        return "pass" if verdict is None and check not in self._lost(figures) else verdict

    def base_lost(self) -> set[str]:
        """The checks that leave what the rules model, or cannot be worked out, with the values that the trial
        began with.
        """
        return self._lost(self.base.figures)

    def _lost(self, figures: Figures) -> set[str]:
        outcomes = {plan.check.id: judge(plan, figures) for plan in self.plan.checks}
        lacking = {entry.check for entry in self.plan.not_checked} - outcomes.keys()
        return lacking | {id for id, outcome in outcomes.items() if isinstance(outcome, (ScopeRule, int))}

    def _outside(self, figures: Figures) -> dict[str, ScopeRule]:
        told = {plan.check.id: judge(plan, figures) for plan in self.plan.checks if plan.outside}
        return {id: rule for id, rule in told.items() if isinstance(rule, ScopeRule)}

    def outcomes(self, figures: Figures, checks: frozenset[str]) -> Iterator[tuple[str, Outcome]]:
        """What some checks come to, one after the other."""
        for check_plan in self.plan.checks:
            if check_plan.check.id in checks:
                yield check_plan.check.id, judge(check_plan, figures)

    def _verdicts(self, figures: Figures, known: Known, until: str | None) -> dict[str, str]:
        verdicts: dict[str, str] = {}
        for check_plan in self.plan.checks:
            judgement = judge(check_plan, figures)
            if isinstance(judgement, Judgement):
                verdicts[check_plan.check.id] = judgement.verdict
                if until and SEVERITY[judgement.verdict] > SEVERITY[until]:
                    return verdicts
        if self.plan.consistency:
            run = Run(self.plan, known, figures)
            verdicts[self.plan.consistency.id] = worst_verdict(findings_of(self.usual, run))
        return verdicts


def _reruns(plan: Plan, graph: Graph) -> Reruns:
    """For every slot a verdict of the plan reads, and those by which the spec is held against itself."""
    slots = {slot for check_plan in plan.checks for slot in check_plan.slots_read()}
    slots.update(slot for _, slot in plan.contradictions)
    slots.update(
        graph.slots[name]
        for comparison in plan.comparisons
        for route in comparison.routes
        for name in route.names
    )
    return Reruns(plan.steps, slots)
