"""From values to verdicts: each point of a check against its limits; the worst counts."""

from dataclasses import dataclass
from typing import NamedTuple

from service.evaluation.planning.check_plan import AT_LIMIT, CheckPlan, Limit, PointPlan
from service.evaluation.running.run import Figures
from service.rulebook.check import ScopeRule

SEVERITY = {"pass": 0, "warn": 1, "fail": 2}


@dataclass(slots=True)
class Judgement:
    """The verdict of one check: which point decided it, the limit that counts there, the value and the margin
    to it.
    """

    verdict: str
    point_plan: PointPlan
    counting: Limit
    value: float
    limit: float
    margin: float | None
    held_back: bool = False
    eased: bool = False
    second_look: "Judgement | None" = None
    not_worked_out: tuple[str, ...] = ()

    @property
    def point(self) -> str | None:
        """The operating point that decided."""
        return self.point_plan.point


class JudgedCheck(NamedTuple):
    """A check and its judgement in one run."""

    plan: CheckPlan
    judgement: Judgement

    @property
    def id(self) -> str:
        return self.plan.check.id


def judge(plan: CheckPlan, figures: Figures) -> Judgement | ScopeRule | int | None:
    """A judgement; or what the rules do not model of this build; the slot of a failed step where it was
    needed; None where the check turns out not to apply.
    """
    values, failed = figures
    for outside in plan.outside:
        if outside.holds(values):
            return outside.rule
    for slot, number in plan.above:
        if slot in failed:
            return failed[slot]
        if not values[slot] > number:
            return None
    worst = _worst_point(plan.points, figures)
    if not isinstance(worst, Judgement):
        return worst
    if plan.eased and worst.verdict == "fail":
        worst.verdict, worst.eased = "warn", True
    if plan.second_look:
        second_look = _worst_point(plan.second_look, figures)
        if isinstance(second_look, Judgement) and second_look.verdict == "fail":
            worst.second_look = second_look
            if worst.verdict == "pass":
                worst.verdict = "warn"
    return worst


def _worst_point(points: list[PointPlan], figures: Figures) -> Judgement | int:
    """The judgement of the worst point; the slot of a failed step where no point could be judged."""
    if len(points) == 1:
        return _judge_point(points[0], figures)
    worst: Judgement | None = None
    first_failed = -1
    not_worked_out = []
    for point_plan in points:
        judgement = _judge_point(point_plan, figures)
        if isinstance(judgement, int):
            first_failed = judgement
            not_worked_out.append(point_plan.point or "")
        elif worst is None or _rank(judgement) > _rank(worst):
            worst = judgement
    if worst is None:
        return first_failed
    worst.not_worked_out = tuple(not_worked_out)
    return worst


def _rank(judgement: Judgement) -> tuple[float, float]:
    """Worst first; a fail held back to a warning comes before what is only a warning."""
    margin = judgement.margin if judgement.margin is not None else 0.0
    return SEVERITY[judgement.verdict] + 0.5 * judgement.held_back, -margin


# Which limit speaks: a check may have several, on its own quantity and on others, and a judgement names one.
#
#     the check's own quantity   |------ pass ------|--- warn ---|--- fail ---
#     another quantity           |----------- pass -----------|------ fail ---
#
# The limits are looked at in their order, those that warn first; of those that are crossed
#   - one at a worse level than before takes over: a fail from a warning;
#   - at the same level only one on the check's own quantity does, so that a sentence keeps to its subject.
# While none is crossed the first one counts, until one on the check's own quantity is nearer: its margin is
# the one shown. A yes or no has no margin: crossed it counts like any other, and the value shown is still the
# check's own. A limit that cannot be worked out makes the point unknown, unless another one fails it anyway.
def _judge_point(point_plan: PointPlan, figures: Figures) -> Judgement | int:
    values, failed = figures
    own_slot = point_plan.slot
    if own_slot in failed:
        return failed[own_slot]
    verdict = "pass"
    counting: Limit | None = None
    counted_value = counted_edge = 0.0
    nearest: float | None = None
    unknown: int | None = None
    for limit in point_plan.limits:
        slot = limit.slot
        if failed and (slot in failed or limit.limit_slot in failed):
            unknown = _failed_first(limit, figures)
            continue
        edge = limit.number if limit.limit_slot is None else values[limit.limit_slot]
        value = values[slot]
        beyond = value - edge if limit.above else edge - value
        crossed = beyond > AT_LIMIT * abs(edge)
        if crossed or counting is None or (verdict == "pass" and slot == own_slot):
            margin = _margin(value, edge, limit.above)
            if crossed:
                if verdict != limit.level or slot == own_slot:
                    counting, counted_value, counted_edge, nearest = limit, value, edge, margin
                verdict = limit.level
            elif counting is None or counting.yes_or_no or _nearer(margin, nearest):
                counting, counted_value, counted_edge, nearest = limit, value, edge, margin
    if unknown is not None and verdict != "fail":
        return unknown
    assert counting is not None, "a check has at least one limit"
    if counting.yes_or_no:
        counted_value, nearest = values[own_slot], None
    held_back = verdict == "fail" and point_plan.at_worst == "warn"
    verdict = "warn" if held_back else verdict
    return Judgement(verdict, point_plan, counting, counted_value, counted_edge, nearest, held_back)


def _failed_first(limit: Limit, figures: Figures) -> int:
    """The step that failed first behind a limit or behind the value it is for."""
    if limit.limit_slot is None or limit.slot in figures.failed:
        return figures.failed[limit.slot]
    return figures.failed[limit.limit_slot]


def _nearer(margin: float | None, than: float | None) -> bool:
    """Of the limits kept the nearest counts; one at zero has no share and stays if it was first."""
    return margin is not None and than is not None and margin < than


def _margin(value: float, limit: float, above: bool) -> float | None:
    """How far inside (+) or outside (-) the limit, as a share of it; None where it is zero."""
    if limit == 0:
        return None
    inside = limit - value if above else value - limit
    return inside / abs(limit)
