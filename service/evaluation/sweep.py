"""One build with columns of candidate values: what varies is run as columns, what does not is run once."""

from dataclasses import dataclass

import numpy

from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.consistency_columns import consistency_columns
from service.evaluation.judging.judge_columns import NAMES, NOT_CHECKED, Column, judge_columns
from service.evaluation.known import Known
from service.evaluation.planning.plan import Plan
from service.evaluation.running.columns import run_columns

# Candidates of one run: enough to make the loop over steps cheap, and the memory it takes stays bounded.
CHUNK = 10_000
# A name that every plan knows, for a run of one entry in which nothing varies.
STAND_IN = "assumed__ambient_pressure"


@dataclass(slots=True)
class Swept:
    """Of every candidate the severity of the whole, of each check, and of spec-consistency (None where it was not asked for)."""

    plan: Plan
    whole: numpy.ndarray
    checks: list[Column]
    consistency: numpy.ndarray | None


def sweep(evaluator: Evaluator, plan: Plan, known: Known, columns: dict[str, numpy.ndarray]) -> Swept:
    """The verdicts of every candidate; `columns` gives the values of some names that the plan knows, all of one length.

    Without a column the build itself is the one candidate.
    """
    columns = columns or {STAND_IN: numpy.array([plan.resolution.preset[STAND_IN]])}
    length = len(next(iter(columns.values())))
    parts, consistency = [], []
    for start in range(0, length, CHUNK):
        piece = {name: column[start : start + CHUNK] for name, column in columns.items()}
        size = min(CHUNK, length - start)
        values = run_columns(plan, known, evaluator.rulebook.graph.slots, piece)
        parts.append([judge_columns(one, values, size) for one in plan.checks])
        if plan.consistency:
            consistency.append(
                consistency_columns(evaluator.reporter.usual, plan, known, values, piece, size)
            )
    checks = [_joined([part[position] for part in parts]) for position in range(len(plan.checks))]
    consistent = numpy.concatenate(consistency) if consistency else None
    return Swept(
        plan,
        _whole(checks, consistent, not (plan.checks or plan.not_checked or plan.not_applicable), length),
        checks,
        consistent,
    )


def _whole(
    checks: list[Column], consistency: numpy.ndarray | None, only_consistency: bool, length: int
) -> numpy.ndarray:
    """The worst of what was judged; a spec that only does not contradict itself has not been judged."""
    whole = numpy.full(length, NOT_CHECKED)
    for column in checks:
        whole = numpy.maximum(whole, numpy.where(column.severity >= 0, column.severity, NOT_CHECKED))
    if consistency is not None:
        whole = numpy.where((whole >= 0) | (consistency > 0), numpy.maximum(whole, consistency), NOT_CHECKED)
        if only_consistency:
            whole = consistency
    return whole


def _joined(parts: list[Column]) -> Column:
    if len(parts) == 1:
        return parts[0]
    return Column(*(numpy.concatenate([getattr(part, name) for part in parts]) for name in NAMES))
