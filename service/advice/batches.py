"""Many builds in one call: each judged as it would be alone, order kept, a bad one beside the good ones."""

from service.advice.counted import counted
from service.errors import SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known
from service.evaluation.many import Outcome, Outcomes, judge_many
from service.json_object import JsonObject

MOST_BUILDS = 250
# Of each build: a word is looked for among all others for each, which for 250 builds of fifty would take
# seconds.
MOST_FAULTS = 10
# So many builds with faults are told the nearest part number; it is looked for among all parts of its slot.
MOST_SUGGESTED = 5


def evaluate_batch(
    evaluator: Evaluator, builds: list[Known | SpecError], checks: tuple[str, ...], units: str
) -> list[JsonObject]:
    """One entry a build: its verdicts with value and margin, or its faults."""
    good = [known for known in builds if isinstance(known, Known)]
    outcomes = iter(judge_many(evaluator, good, checks))
    return [
        _judged_entry(evaluator, next(outcomes), units) if isinstance(known, Known) else _faulty_entry(known)
        for known in builds
    ]


def batch_headline(entries: list[JsonObject]) -> str:
    """How many of the builds pass."""
    return counted([entry.get("verdict", "faulty") for entry in entries], "build")


def _judged_entry(evaluator: Evaluator, outcomes: Outcomes, units: str) -> JsonObject:
    checks = [_check(evaluator, outcome, units) for outcome in outcomes.checks]
    if outcomes.consistency:
        consistency = next(check.id for check in evaluator.rulebook.checks.values() if check.collects)
        checks.append({"check": consistency, "verdict": outcomes.consistency})
    checks.sort(key=lambda check: -SEVERITY[check["verdict"]])
    return {"status": 200, "verdict": outcomes.verdict, "checks": checks}


def _check(evaluator: Evaluator, outcome: Outcome, units: str) -> JsonObject:
    entry: JsonObject = {"check": outcome.check, "verdict": outcome.verdict}
    # A check that only asks whether something is there measures nothing.
    if outcome.judges:
        shown = evaluator.rulebook.identify(outcome.judges, outcome.point)
        shower = evaluator.writer.shower_of(shown, units)
        entry["value"] = shower.measure(outcome.value)
        if outcome.margin is not None and outcome.margin < 0:
            entry["value"]["text"] = shower.apart(outcome.value, outcome.limit)
    if outcome.margin is not None:
        entry["margin"] = round(outcome.margin, 4)
    if outcome.point:
        entry["judged_at"] = outcome.point
    return entry


def _faulty_entry(error: SpecError) -> JsonObject:
    return {
        "status": 422,
        "errors": [fault.told() for fault in error.faults],
    }
