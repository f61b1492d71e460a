"""Many builds in one call: each judged as it would be alone, order kept, a bad one beside the good ones."""

from service.errors import SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known
from service.evaluation.many import Outcome, Outcomes, judge_many

MOST_BUILDS = 250
# Of each build: a word is looked for among all others for each, which for 250 builds of fifty would take seconds.
MOST_FAULTS = 10
# So many builds with faults are told the nearest part number; it is looked for among all parts of its slot.
MOST_SUGGESTED = 5


def evaluate_batch(
    evaluator: Evaluator, builds: list[Known | SpecError], checks: tuple[str, ...], units: str
) -> list[dict]:
    """One entry a build: its verdicts with value and margin, or its faults."""
    good = [known for known in builds if isinstance(known, Known)]
    outcomes = iter(judge_many(evaluator, good, checks))
    return [
        _entry(evaluator, next(outcomes), units) if isinstance(known, Known) else _faults(known)
        for known in builds
    ]


def _entry(evaluator: Evaluator, outcomes: Outcomes, units: str) -> dict:
    checks = [_check(evaluator, one, units) for one in outcomes.checks]
    if outcomes.consistency:
        checks.append(
            {
                "check": next(check.id for check in evaluator.rulebook.checks.values() if check.collects),
                "verdict": outcomes.consistency,
            }
        )
    checks.sort(key=lambda one: -SEVERITY[one["verdict"]])
    return {"status": 200, "verdict": outcomes.verdict, "checks": checks}


def _check(evaluator: Evaluator, one: Outcome, units: str) -> dict:
    shown = evaluator.rulebook.identify(one.judges, one.point)
    entry = {
        "check": one.check.check.id,
        "verdict": one.verdict,
        "value": evaluator.writer.shower_of(shown, units).measure(one.value),
    }
    if one.margin is not None:
        entry["margin"] = round(one.margin, 4)
    if one.point:
        entry["judged_at"] = one.point
    return entry


def _faults(error: SpecError) -> dict:
    return {
        "status": 422,
        "errors": [
            {key: value for key, value in fault._asdict().items() if value is not None}
            for fault in error.faults
        ],
    }
