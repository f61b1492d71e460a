"""One build with columns of candidate values: what varies is run as columns, what does not is run once."""

from dataclasses import dataclass

import numpy

from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.consistency_columns import consistency_columns
from service.evaluation.judging.judge_columns import NOT_CHECKED, CheckColumns, IntColumn, judge_columns
from service.evaluation.known import Known
from service.evaluation.planning.plan import Plan
from service.evaluation.running.columns import FloatColumn, run_columns

# Candidates of one run: enough to make the loop over steps cheap, and the memory it takes stays bounded.
CHUNK = 10_000
# A name that every plan knows, for a run of one entry in which nothing varies.
STAND_IN = "assumed__ambient_pressure"


@dataclass(slots=True)
class Swept:
    """Of every candidate the severity of the whole, of each check, and of spec-consistency (None where not
    asked for).
    """

    plan: Plan
    whole: IntColumn
    checks: list[CheckColumns]
    consistency: IntColumn | None


def sweep(evaluator: Evaluator, plan: Plan, known: Known, columns: dict[str, FloatColumn]) -> Swept:
    """The verdicts of every candidate; `columns` gives the values of some names that the plan knows, all of
    one length.

    Without a column the build itself is the one candidate.
    """
    columns = columns or {STAND_IN: numpy.array([plan.resolution.preset[STAND_IN]])}
    length = len(next(iter(columns.values())))
    parts, consistency_parts = [], []
    for start in range(0, length, CHUNK):
        piece = {name: column[start : start + CHUNK] for name, column in columns.items()}
        size = min(CHUNK, length - start)
        values = run_columns(plan, known, evaluator.slots, piece)
        parts.append([judge_columns(check_plan, values, size) for check_plan in plan.checks])
        if plan.consistency:
            usual = evaluator.reporter.usual
            consistency_parts.append(consistency_columns(usual, plan, known, values, piece))
    checks = [CheckColumns.joined([part[position] for part in parts]) for position in range(len(plan.checks))]
    consistency = numpy.concatenate(consistency_parts) if consistency_parts else None
    return Swept(plan, _whole(plan, checks, consistency, length), checks, consistency)


def _whole(plan: Plan, checks: list[CheckColumns], consistency: IntColumn | None, length: int) -> IntColumn:
    """The worst of what was judged; a spec that only does not contradict itself has not been judged."""
    whole = numpy.full(length, NOT_CHECKED)
    for column in checks:
        whole = numpy.maximum(whole, numpy.where(column.severity >= 0, column.severity, NOT_CHECKED))
    if consistency is None:
        return whole
    if not (plan.checks or plan.not_checked or plan.not_applicable):
        return consistency
    return numpy.where((whole >= 0) | (consistency > 0), numpy.maximum(whole, consistency), NOT_CHECKED)
