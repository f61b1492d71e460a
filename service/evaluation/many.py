"""Many builds at once: those with the same plan are judged together, as columns; a few of one plan alone."""

from dataclasses import dataclass

import numpy

from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.consistency import findings_of, worst_verdict
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.judging.judge_columns import VERDICTS, CheckColumns, deciding
from service.evaluation.judging.judged_run import judge_run
from service.evaluation.known import Known
from service.evaluation.planning.check_plan import CheckPlan
from service.evaluation.running.columns import FloatColumn
from service.evaluation.running.run import run_plan
from service.evaluation.sweep import Swept, sweep

# Up to so many builds of one plan cost less one by one: a column of one number costs as much as one of a
# hundred (measured: five).
FEW = 4


@dataclass(slots=True)
class Outcome:
    """One check of one build: whose limit decided, the verdict, and the numbers of that point."""

    check: str
    judges: str
    """Empty for a check that only asks whether something is there."""
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

    def least_margin(self) -> tuple[float, str] | None:
        """The least margin and its check; None where no check has one."""
        margins = [(outcome.margin, outcome.check) for outcome in self.checks if outcome.margin is not None]
        return min(margins, default=None)


def judge_many(evaluator: Evaluator, builds: list[Known], checks: tuple[str, ...] = ()) -> list[Outcomes]:
    """The outcomes in the order of the builds."""
    outcomes: dict[int, Outcomes] = {}
    for positions in sharing_a_plan(builds):
        if len(positions) <= FEW:
            outcomes.update({position: _alone(evaluator, builds[position], checks) for position in positions})
            continue
        first = builds[positions[0]]
        columns = numbers_of(builds, positions)
        swept = sweep(evaluator, evaluator.plan(first, checks), first, columns)
        # Without a number the builds of a group are the same, and were swept as one.
        entries = range(len(positions)) if columns else [0] * len(positions)
        outcomes.update(
            {position: outcome_of(swept, entry) for position, entry in zip(positions, entries, strict=True)}
        )
    return [outcomes[position] for position in range(len(builds))]


def sharing_a_plan(builds: list[Known]) -> list[list[int]]:
    """The positions of builds that can be run as columns together."""
    groups: dict[tuple[object, ...], list[int]] = {}
    for position, known in enumerate(builds):
        # Curves are no numbers: builds with other curves do not share a run.
        curves = tuple(sorted((name, repr(curve)) for name, curve in known.curves.items()))
        groups.setdefault((*known.key(), curves), []).append(position)
    return list(groups.values())


def numbers_of(builds: list[Known], positions: list[int]) -> dict[str, FloatColumn]:
    """The numbers of builds that share a plan, by name."""
    return {
        name: numpy.array([builds[position].numbers[name] for position in positions])
        for name in builds[positions[0]].numbers
    }


def _alone(evaluator: Evaluator, known: Known, checks: tuple[str, ...]) -> Outcomes:
    """One build through floats."""
    plan = evaluator.plan(known, checks)
    run = run_plan(plan, known, evaluator.slots)
    outcomes = [
        Outcome(
            check.id,
            judgement.counting.bound.judges,
            judgement.verdict,
            judgement.value,
            judgement.limit,
            judgement.margin,
            judgement.point,
        )
        for check in judge_run(run).judged
        for judgement in (check.judgement,)
    ]
    judged = [outcome.verdict for outcome in outcomes]
    if not plan.consistency:
        return Outcomes(_worst(judged), None, outcomes)
    consistency = worst_verdict(findings_of(evaluator.reporter.usual, run))
    only_consistency = not (plan.checks or plan.not_checked or plan.not_applicable)
    # A spec that only does not contradict itself has not been judged.
    counts = judged or only_consistency or consistency != "pass"
    return Outcomes(_worst([*judged, consistency] if counts else []), consistency, outcomes)


def _worst(verdicts: list[str]) -> str:
    return max(verdicts, key=SEVERITY.__getitem__, default="not_checked")


def outcome_of(swept: Swept, entry: int) -> Outcomes:
    """One entry of a sweep."""
    checks = [
        _outcome(check_plan, column, entry)
        for check_plan, column in zip(swept.plan.checks, swept.checks, strict=True)
        if column.severity[entry] >= 0
    ]
    consistency = None if swept.consistency is None else VERDICTS[int(swept.consistency[entry])]
    return Outcomes(VERDICTS[int(swept.whole[entry])], consistency, checks)


def _outcome(check_plan: CheckPlan, column: CheckColumns, entry: int) -> Outcome:
    point_plan, limit = deciding(check_plan, int(column.point[entry]), int(column.counting[entry]))
    margin = float(column.margin[entry])
    return Outcome(
        check_plan.check.id,
        limit.bound.judges,
        VERDICTS[int(column.severity[entry])],
        float(column.value[entry]),
        float(column.limit[entry]),
        None if numpy.isnan(margin) else margin,
        point_plan.point,
    )
