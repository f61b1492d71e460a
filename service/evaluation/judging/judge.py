"""From values to verdicts: each point of a check against its limits; the worst counts."""

from dataclasses import dataclass

from service.evaluation.planning.plan import CheckPlan, Judged
from service.rulebook.model import Bound

SEVERITY = {"pass": 0, "warn": 1, "fail": 2}


@dataclass(slots=True)
class Judgement:
    """The verdict of one check: which point decided it, its value, the limit that counts, the margin to it."""

    verdict: str
    point: str | None
    value: float
    slot: int
    bound: Bound
    limit: float
    margin: float | None
    held_back: bool = False
    eased: bool = False
    second: "Judgement | None" = None
    unworked: tuple[str, ...] = ()


def judge(plan: CheckPlan, values: list, failed: dict[int, int]) -> Judgement | int | None:
    """A judgement; the slot of a failed step where one was needed; None where the check turns out not to apply."""
    for slot, number in plan.above:
        if slot in failed:
            return failed[slot]
        if not values[slot] > number:
            return None
    worst = _worst(plan.judged, values, failed)
    if not isinstance(worst, Judgement):
        return worst
    if plan.eased and worst.verdict == "fail":
        worst.verdict, worst.eased = "warn", True
    if plan.second:
        second = _worst(plan.second, values, failed)
        if isinstance(second, Judgement) and second.verdict == "fail":
            worst.second = second
            if worst.verdict == "pass":
                worst.verdict = "warn"
    return worst


def _worst(judged: list[Judged], values: list, failed: dict[int, int]) -> Judgement | int:
    if len(judged) == 1:
        return _judge_point(judged[0], values, failed)
    worst: Judgement | None = None
    first_failed = -1
    unworked = []
    for one in judged:
        made = _judge_point(one, values, failed)
        if isinstance(made, int):
            first_failed = made
            unworked.append(one.point)
        elif worst is None or _rank(made) > _rank(worst):
            worst = made
    if worst is None:
        return first_failed
    worst.unworked = tuple(unworked)
    return worst


def _rank(made: Judgement) -> tuple[float, float]:
    """Worst first; a fail held back to a warning comes before what is only a warning."""
    return SEVERITY[made.verdict] + 0.5 * made.held_back, -(made.margin if made.margin is not None else 0.0)


def _judge_point(one: Judged, values: list, failed: dict[int, int]) -> Judgement | int:
    if one.slot in failed:
        return failed[one.slot]
    verdict = "pass"
    counting: tuple | None = None
    unknown: int | None = None
    for level in ("warn", "fail"):
        for bound, slot, number, limit_slot in one.bounds.get(level, ()):
            if slot in failed or limit_slot in failed:
                unknown = failed[slot if slot in failed else limit_slot]
                continue
            limit = number if limit_slot is None else values[limit_slot]
            value = values[slot]
            crossed = value > limit if bound.side == "above" else value < limit
            if crossed or counting is None or (verdict == "pass" and slot == one.slot):
                margin = _margin(value, limit, bound.side)
                if crossed:
                    # The judged quantity's own limit speaks before a limit on another quantity of the same level.
                    if verdict != level or slot == one.slot:
                        counting = (bound, limit, value, margin)
                    verdict = level
                elif counting is None or _nearer(margin, counting[3]):
                    counting = (bound, limit, value, margin)
    # A limit that cannot be looked at hides no fail that another one shows.
    if unknown is not None and verdict != "fail":
        return unknown
    bound, limit, value, margin = counting
    held_back = verdict == "fail" and one.at_worst == "warn"
    return Judgement(
        "warn" if held_back else verdict, one.point, value, one.slot, bound, limit, margin, held_back
    )


def _nearer(margin: float | None, than: float | None) -> bool:
    """Of the limits kept, the nearest counts; one at zero has no share to compare and stays if it came first."""
    return margin is not None and than is not None and margin < than


def _margin(value: float, limit: float, side: str) -> float | None:
    """How far inside (+) or outside (-) the limit, as a share of it; None where the limit is zero."""
    if limit == 0:
        return None
    inside = limit - value if side == "above" else value - limit
    return inside / abs(limit)
