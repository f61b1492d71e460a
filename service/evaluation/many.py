"""Many builds at once: those with the same plan are judged together, as columns."""

from dataclasses import dataclass

import numpy

from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge_columns import VERDICTS, bounds_of
from service.evaluation.known import Known
from service.evaluation.planning.plan import CheckPlan
from service.evaluation.sweep import Swept, sweep


@dataclass(slots=True)
class Outcome:
    """One check of one build: its plan, the quantity whose limit decided, the verdict, and the numbers of that point."""

    check: CheckPlan
    judges: str
    verdict: str
    value: float
    limit: float
    margin: float | None
    point: str | None


@dataclass(slots=True)
class Outcomes:
    """One build: the verdict of the whole, of spec-consistency, and of every check that was judged."""

    verdict: str
    consistency: str | None
    checks: list[Outcome]


def judge_many(evaluator: Evaluator, builds: list[Known], checks: tuple[str, ...] = ()) -> list[Outcomes]:
    """The outcomes in the order of the builds."""
    groups: dict[tuple, list[int]] = {}
    for position, known in enumerate(builds):
        # Curves are no numbers: builds with other curves do not share a run.
        curves = tuple(sorted((name, repr(curve)) for name, curve in known.curves.items()))
        groups.setdefault((*known.key(), curves), []).append(position)
    outcomes: list[Outcomes] = [None] * len(builds)
    for positions in groups.values():
        first = builds[positions[0]]
        plan = evaluator.plan(first, checks)
        columns = {
            name: numpy.array([builds[position].numbers[name] for position in positions])
            for name in first.numbers
        }
        swept = sweep(evaluator, plan, first, columns)
        made = [outcome_of(swept, entry) for entry in range(len(swept.whole))] * (
            1 if columns else len(positions)
        )
        for position, outcome in zip(positions, made):
            outcomes[position] = outcome
    return outcomes


def outcome_of(swept: Swept, entry: int) -> Outcomes:
    """One entry of a sweep."""
    checks = []
    for one, column in zip(swept.plan.checks, swept.checks):
        severity = int(column.severity[entry])
        if severity >= 0:
            margin = float(column.margin[entry])
            here = one.judged[int(column.point[entry])]
            judges = bounds_of(here)[int(column.bound[entry])][1][0].judges
            checks.append(
                Outcome(
                    one,
                    judges,
                    VERDICTS[severity],
                    float(column.value[entry]),
                    float(column.limit[entry]),
                    None if numpy.isnan(margin) else margin,
                    here.point,
                )
            )
    consistency = None if swept.consistency is None else VERDICTS[int(swept.consistency[entry])]
    return Outcomes(VERDICTS[int(swept.whole[entry])], consistency, checks)
