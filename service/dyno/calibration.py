"""A build held against its own pulls: what they tell of power, filling and fuel, and which assumption
explains the gap.
"""

from dataclasses import dataclass, replace

from service.dyno.pulls import Pulls
from service.dyno.ranges import MovedInput, Ranges
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judged_run import judge_run
from service.evaluation.known import Known
from service.evaluation.planning.lean import Lean
from service.evaluation.running.run import Values

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
    """An assumption that, moved alone, makes the calculated power the measured one; `share` of the way to its
    end.
    """

    lean: Lean
    name: str
    typical: float
    needed: float
    share: float


def held_against(known: Known, pulls: Pulls, place: str) -> Known:
    """The build as it ran: what was planned is taken out, the pulls stand in, with the doubt of their mean as
    a tolerance.
    """
    name = MEASURED[place]
    measured = known.with_numbers({name: pulls.mean})
    tolerances = {given: ends for given, ends in measured.tolerances.items() if given not in PLANNED}
    width = pulls.half_width()
    if width:
        tolerances[name] = (pulls.mean - width, pulls.mean + width)
    return replace(
        measured,
        numbers={given: value for given, value in measured.numbers.items() if given not in PLANNED},
        choices={path: word for path, word in measured.choices.items() if not path.startswith("target.")},
        tolerances=tolerances,
    )


def explanations(ranges: Ranges) -> list[Explanation]:
    """Assumptions that would explain the difference alone, the one that has to move least first.

    What can only be one thing or another, a cooler fitted or not, explains nothing half-way and is left out.
    """
    if not {"power_from_air", "crank_power"} <= set(ranges.slots):
        return []
    explained = []
    base = _gap(ranges, ranges.base.values)
    for mover in ranges.movers:
        if mover.lean is None or _either_or(mover.lean):
            continue
        for end, figures in zip(mover.ends, mover.runs, strict=True):
            moved = _gap(ranges, figures.values)
            if base * moved <= 0 and base != moved:
                explained.append(_explanation(mover, mover.lean, end, base / (base - moved)))
    return sorted(explained, key=lambda explanation: explanation.share)


def _explanation(mover: MovedInput, lean: Lean, end: float, share: float) -> Explanation:
    needed = mover.typical + share * (end - mover.typical)
    return Explanation(lean, mover.name, mover.typical, needed, share)


def _gap(ranges: Ranges, values: Values) -> float:
    """How far the power from the air lies above the power that was measured."""
    return values[ranges.slots["power_from_air"]] - values[ranges.slots["crank_power"]]


def _either_or(lean: Lean) -> bool:
    row = lean.certain_row
    return {row.low, row.typical, row.high} <= {0.0, 1.0}


def narrowed(ranges: Ranges) -> tuple[float, float] | None:
    """The filling that both the pulls and what is usual allow; None where it was stated or the two do not
    meet.
    """
    name = "implied_volumetric_efficiency"
    if name not in ranges.slots or "engine__volumetric_efficiency" in ranges.resolution.given:
        return None
    row = ranges.resolution.leans["volumetric_efficiency"].certain_row
    low, high = ranges.between(name)
    low, high = max(low, row.low), min(high, row.high)
    return (low, high) if low < high else None


def contradicted(evaluator: Evaluator, known: Known) -> tuple[list[str], list[str]]:
    """Checks that fail at the power that was reached, and those that pass there."""
    judged = judge_run(evaluator.run(known)).judged
    fails = [check.id for check in judged if check.judgement.verdict == "fail"]
    return fails, [check.id for check in judged if check.judgement.verdict == "pass"]
