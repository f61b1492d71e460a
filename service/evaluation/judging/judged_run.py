"""Every check of a plan judged in one run, and what could not be."""

from dataclasses import dataclass, field

from service.evaluation.judging.judge import JudgedCheck, Judgement, judge
from service.evaluation.planning.plan import NotApplicable, NotChecked, Plan
from service.evaluation.running.run import Run
from service.rulebook.check import ScopeRule


@dataclass(slots=True)
class JudgedRun:
    """The checks that were judged, and the others; `failed_steps`: by check the step that could not be worked
    out.

    The lists of the others are those of the plan itself, unless this run has moved a check there.
    """

    judged: list[JudgedCheck]
    not_checked: list[NotChecked]
    not_applicable: list[NotApplicable]
    failed_steps: dict[str, int] = field(default_factory=dict)

    def scope(self, plan: Plan) -> list[ScopeRule]:
        """Everything of this build that the rules do not model, each once."""
        stopped = [entry.scope for entry in self.not_checked if entry.scope]
        return list({rule.id: rule for rule in (*plan.scope, *stopped)}.values())


def judge_run(run: Run) -> JudgedRun:
    """Judge every check of the plan."""
    result = JudgedRun([], run.plan.not_checked, run.plan.not_applicable)
    for check_plan in run.plan.checks:
        judgement = judge(check_plan, run.figures)
        if isinstance(judgement, Judgement):
            result.judged.append(JudgedCheck(check_plan, judgement))
            continue
        check = check_plan.check
        result.not_checked = [entry for entry in result.not_checked if entry.check != check.id]
        if isinstance(judgement, ScopeRule):
            result.not_checked = [*result.not_checked, NotChecked(check.id, [], judgement)]
        elif judgement is None:
            result.not_applicable = [*result.not_applicable, NotApplicable(check.id, check.otherwise or "")]
        else:
            result.not_checked = [*result.not_checked, NotChecked(check.id, [])]
            result.failed_steps[check.id] = judgement
    return result
