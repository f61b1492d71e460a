"""The steps of a plan that candidates move, and what is behind each verdict of it."""

from collections.abc import Mapping
from dataclasses import replace

from service.evaluation.evaluate import Evaluator
from service.evaluation.known import Known
from service.evaluation.planning.check_plan import CheckPlan
from service.evaluation.planning.plan import Plan
from service.evaluation.planning.steps import Step
from service.evaluation.running.run import run_plan


class SharedSteps:
    """What the checks of a plan have in common: the values that no candidate moves, worked out once, and the
    steps that some candidate does.
    """

    def __init__(self, evaluator: Evaluator, plan: Plan, base: Known, provided: Mapping[str, str]):
        moved = {evaluator.slots[name] for name in provided}
        still: list[Step] = []
        self.varying: list[Step] = []
        for step in _needed(plan):
            if moved.isdisjoint(step.arguments):
                still.append(step)
            else:
                moved |= set(results(step))
                self.varying.append(step)
        run = run_plan(replace(plan, steps=still), base, evaluator.slots)
        self.values = run.figures.values


def results(step: Step) -> list[int]:
    """The places that a step fills."""
    return [place for row in step.rows for place in row.slots if place >= 0] or [step.slot]


def _needed(plan: Plan) -> list[Step]:
    """The steps behind the verdicts of a plan; what is only told is left out."""
    read = {slot for check_plan in plan.checks for slot in check_plan.slots_read()}
    return _reading_back(plan.steps, read)


def behind(steps: list[Step], check_plan: CheckPlan) -> tuple[list[Step], set[int]]:
    """The steps behind a verdict in their order, and every place of the values that they and it read."""
    read = set(check_plan.slots_read())
    return _reading_back(steps, read), read


def _reading_back(steps: list[Step], read: set[int]) -> list[Step]:
    """Of some steps those that fill what is read, in their order; what they read themselves joins it."""
    behind = []
    for step in reversed(steps):
        if not read.isdisjoint(results(step)):
            read |= step.arguments
            behind.append(step)
    return behind[::-1]
