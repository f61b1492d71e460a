"""A build held against its own pulls: what they say of power, filling and fuel, and which assumption would explain the difference."""

from dataclasses import dataclass, replace

from service.advice.trial import with_numbers
from service.dyno.pulls import Pulls
from service.dyno.ranges import MovedInput, Ranges
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import Judgement, judge
from service.evaluation.known import Known
from service.evaluation.running.run import run

NAMES = (
    "crank_power",
    "power_from_air",
    "injector_duty",
    "implied_volumetric_efficiency",
    "implied_fuel_consumption",
)
PLANNED = ("target__power", "target__torque")
MEASURED = {"crank": "measured__crank_power", "wheels": "measured__wheel_power"}


@dataclass(frozen=True, slots=True)
class Explanation:
    """An assumption that, moved alone, makes the reckoned power the measured one; `share` of the way to its end."""

    mover: MovedInput
    needed: float
    share: float


def held_against(known: Known, pulls: Pulls, place: str) -> Known:
    """The build as it ran: what was planned is taken out, the pulls stand in, with the doubt of their mean as a tolerance."""
    name = MEASURED[place]
    made = with_numbers(known, {name: pulls.mean})
    numbers = {own: value for own, value in made.numbers.items() if own not in PLANNED}
    choices = {path: word for path, word in made.choices.items() if not path.startswith("target.")}
    width = pulls.half_width()
    tolerances = {own: ends for own, ends in made.tolerances.items() if own not in PLANNED} | (
        {name: (pulls.mean - width, pulls.mean + width)} if width else {}
    )
    return replace(made, numbers=numbers, choices=choices, tolerances=tolerances)


def explanations(found: Ranges) -> list[Explanation]:
    """Assumptions that would explain the difference alone, the one that has to move least first.

    What can only be one thing or another, a cooler fitted or not, explains nothing half-way and is left out.
    """
    if not {"power_from_air", "crank_power"} <= set(found.slots):
        return []
    gap = lambda values: values[found.slots["power_from_air"]] - values[found.slots["crank_power"]]
    base = gap(found.base.values)
    made = []
    for mover in found.movers:
        for end, changed in zip(mover.ends, mover.runs):
            there = gap(changed.values)
            if mover.lean and not _either_or(mover) and base * there <= 0 and base != there:
                share = base / (base - there)
                made.append(Explanation(mover, mover.typical + share * (end - mover.typical), share))
    return sorted(made, key=lambda one: one.share)


def _either_or(mover: MovedInput) -> bool:
    row = mover.lean.row
    return {row.low, row.typical, row.high} <= {0.0, 1.0}


def narrowed(found: Ranges) -> tuple[float, float] | None:
    """The filling that both the pulls and what is usual allow; None where it was stated or the two do not meet."""
    name = "implied_volumetric_efficiency"
    if name not in found.slots or "engine__volumetric_efficiency" in found.resolution.given:
        return None
    row = found.resolution.leans["volumetric_efficiency"].row
    low, high = found.between(name)
    low, high = max(low, row.low), min(high, row.high)
    return (low, high) if low < high else None


def contradicted(evaluator: Evaluator, known: Known) -> tuple[list[str], list[str]]:
    """Checks that fail at the power that was reached, and those that pass there."""
    plan = evaluator.plan(known)
    values, failed = run(plan, known, evaluator.rulebook.graph.slots)
    verdicts = {
        one.check.id: made.verdict
        for one in plan.checks
        if isinstance(made := judge(one, values, failed), Judgement)
    }
    return [check for check, verdict in verdicts.items() if verdict == "fail"], [
        check for check, verdict in verdicts.items() if verdict == "pass"
    ]
