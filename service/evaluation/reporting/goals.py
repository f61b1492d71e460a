"""What the customer asked for and no check has judged: a pass says nothing of it."""

from service.evaluation.planning.plan import Plan
from service.evaluation.planning.reading import inputs_read
from service.evaluation.reporting.sentences import lower
from service.rulebook.input import Input
from service.rulebook.names import identifier


class OpenGoals(list[str]):
    """The goals of one plan that none of its checks reads, as a sentence names them."""


def open_goals(plan: Plan) -> OpenGoals:
    """The goals that are given and not judged."""
    return plan.kept.once(OpenGoals, lambda: _open_goals(plan))


def _open_goals(plan: Plan) -> OpenGoals:
    inputs = plan.resolution.rulebook.inputs.values()
    goals = [field for field in inputs if field.effort == "goal" and _given(field, plan)]
    judged = inputs_read(plan).judged if goals else frozenset()
    return OpenGoals(lower(field.label) for field in goals if field.path not in judged)


def _given(field: Input, plan: Plan) -> bool:
    return any(identifier(word) in plan.resolution.given for word in field.words.values())
