"""One build with columns of candidate values: the verdict of each candidate, check by check, as columns."""

import numpy

from service.errors import SpecError, SpecFault, TooMuchWorkError
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge_columns import VERDICTS, bounds_of
from service.evaluation.known import Known
from service.evaluation.reporting.display import ten_digits
from service.evaluation.sweep import sweep

MOST_CANDIDATES = 10_000
# Candidates times checks: what an answer holds.
MOST_CELLS = 200_000


def evaluate_sweep(
    evaluator: Evaluator, known: Known, columns: dict[str, numpy.ndarray], checks: tuple[str, ...], units: str
) -> dict:
    """Columns of verdicts, values and margins; `columns` by identifier in SI, of one length. TooMuchWorkError over the caps."""
    count = len(next(iter(columns.values())))
    if count > MOST_CANDIDATES:
        raise TooMuchWorkError(f"{count} candidates", f"{MOST_CANDIDATES} candidates")
    known = Known(
        {**known.numbers, **{name: float(column[0]) for name, column in columns.items()}},
        known.choices,
        known.curves,
        {},
        known.understood,
    )
    plan = evaluator.plan(known, checks)
    if count * len(plan.checks) > MOST_CELLS:
        raise TooMuchWorkError(
            f"{count} candidates times {len(plan.checks)} checks",
            f"{MOST_CELLS}; name the checks wanted, or send fewer candidates",
        )
    swept = sweep(evaluator, plan, known, columns)
    made = []
    for one, column in zip(plan.checks, swept.checks):
        judged = [
            evaluator.rulebook.identify(
                bounds_of(one.judged[point])[bound][1][0].judges, one.judged[point].point
            )
            if point >= 0
            else None
            for point, bound in zip(column.point.tolist(), column.bound.tolist())
        ]
        made.append(
            {
                "check": one.check.id,
                "verdict": [VERDICTS[code] for code in column.severity.tolist()],
                "value": [
                    _shown(evaluator, name, value, units)
                    for name, value in zip(judged, column.value.tolist())
                ],
                "unit": [evaluator.writer.shower_of(name, units).unit if name else None for name in judged]
                if len(set(judged) - {None}) > 1
                else _unit(evaluator, judged, units),
                "margin": [
                    None if value != value or name is None else round(value, 4)
                    for name, value in zip(judged, column.margin.tolist())
                ],
            }
        )
    return {
        "count": count,
        "verdict": [VERDICTS[code] for code in swept.whole.tolist()],
        "checks": made,
        "not_checked": [
            {"check": check, "needs": [list(group) for group in needs]} for check, needs in plan.not_checked
        ],
        "understood": [{"input": path, "text": text} for path, text in known.understood],
        "assumptions": evaluator.reporter.assumptions(plan.leans, units, full=False),
        "rulebook": evaluator.reporter.identity,
        "service": evaluator.rulebook.version,
    }


def _shown(evaluator: Evaluator, name: str | None, value: float, units: str) -> float | None:
    if name is None or value != value:
        return None
    shower = evaluator.writer.shower_of(name, units)
    return ten_digits((value - shower.offset) / shower.factor)


def _unit(evaluator: Evaluator, judged: list[str | None], units: str) -> str | None:
    first = next((name for name in judged if name), None)
    return evaluator.writer.shower_of(first, units).unit if first else None


def same_length(columns: dict[str, list]) -> None:
    """SpecError where the columns are not of one length."""
    lengths = {path: len(column) for path, column in columns.items()}
    if len(set(lengths.values())) > 1:
        raise SpecError(
            [
                SpecFault(
                    f"/columns/{path}",
                    "unequal",
                    f"This column has {length} candidates, another one has {max(lengths.values())}.",
                    "columns of one length: entry by entry they make one candidate",
                )
                for path, length in lengths.items()
                if length != max(lengths.values())
            ]
        )
