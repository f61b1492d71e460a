"""One build with columns of candidate values: the verdict of each candidate, check by check, as columns."""

from collections.abc import Sized
from dataclasses import replace

from service.advice.counted import counted
from service.errors import SpecError, SpecFault, TooMuchWorkError
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge_columns import VERDICTS, CheckColumns, deciding
from service.evaluation.known import Known
from service.evaluation.planning.check_plan import CheckPlan
from service.evaluation.planning.plan import Plan
from service.evaluation.reporting.brevity import within
from service.evaluation.reporting.display import ten_digits
from service.evaluation.reporting.headline import MOST_WORDS
from service.evaluation.running.columns import FloatColumn
from service.evaluation.sweep import Swept, sweep
from service.json_object import JsonObject

MOST_CANDIDATES = 10_000
# Candidates times checks: what an answer holds.
MOST_CELLS = 200_000


def evaluate_sweep(
    evaluator: Evaluator, known: Known, columns: dict[str, FloatColumn], checks: tuple[str, ...], units: str
) -> JsonObject:
    """Columns of verdicts, values and margins; TooMuchWorkError over the caps.

    `columns`: by identifier in SI, of one length.
    """
    count = len(next(iter(columns.values())))
    firsts = {name: float(column[0]) for name, column in columns.items()}
    # Each candidate is judged as it stands, without the tolerances of the build.
    known = replace(known, numbers={**known.numbers, **firsts}, tolerances={})
    plan = _affordable_plan(evaluator, known, checks, count)
    swept = sweep(evaluator, plan, known, columns)
    verdicts = [VERDICTS[code] for code in swept.whole.tolist()]
    return {
        "headline": within([counted(verdicts, "candidate"), _most_often(swept)], MOST_WORDS),
        "count": count,
        "verdict": verdicts,
        "checks": [
            _check(evaluator, check_plan, column, units)
            for check_plan, column in zip(plan.checks, swept.checks, strict=True)
        ],
        "open": evaluator.reporter.open.of_plan(plan, needs=False),
        "understood": [{"input": path, "text": text} for path, text in known.understood],
        "assumptions": evaluator.reporter.assumptions.listed(plan.leans, units, full=False),
        "rulebook": evaluator.reporter.identity,
        "service": evaluator.rulebook.version,
    }


def _most_often(swept: Swept) -> str:
    """What keeps most candidates from passing."""
    counts = {
        check_plan.check.short: int((column.severity > 0).sum())
        for check_plan, column in zip(swept.plan.checks, swept.checks, strict=True)
    }
    if swept.consistency is not None and swept.plan.consistency:
        counts[swept.plan.consistency.short] = int((swept.consistency > 0).sum())
    most = max(counts, key=counts.__getitem__, default="")
    return f"Most often it is the {most}." if most and counts[most] else ""


def _affordable_plan(evaluator: Evaluator, known: Known, checks: tuple[str, ...], count: int) -> Plan:
    """The plan of a sweep, where so many candidates are not too much work."""
    if count > MOST_CANDIDATES:
        raise TooMuchWorkError(f"{count} candidates", f"{MOST_CANDIDATES} candidates")
    plan = evaluator.plan(known, checks)
    if count * len(plan.checks) > MOST_CELLS:
        raise TooMuchWorkError(
            f"{count} candidates times {len(plan.checks)} checks",
            f"{MOST_CELLS}; name the checks you need, or send fewer candidates",
        )
    return plan


def _check(evaluator: Evaluator, check_plan: CheckPlan, column: CheckColumns, units: str) -> JsonObject:
    """One check over all candidates; the unit is a column too where candidates are decided by different
    quantities.
    """
    names = _deciding_names(evaluator, check_plan, column)
    showers = {name: evaluator.writer.shower_of(name, units) for name in names if name}
    shown_units = [showers[name].unit if name else None for name in names]
    first_unit = next((unit for unit in shown_units if unit is not None), None)
    return {
        "check": check_plan.check.id,
        "verdict": [VERDICTS[code] for code in column.severity.tolist()],
        "value": [
            ten_digits(showers[name].number(value)) if name and value == value else None
            for name, value in zip(names, column.value.tolist(), strict=True)
        ],
        "unit": shown_units if len(showers) > 1 else first_unit,
        "margin": [
            round(margin, 4) if name and margin == margin else None
            for name, margin in zip(names, column.margin.tolist(), strict=True)
        ],
    }


def _deciding_names(evaluator: Evaluator, check_plan: CheckPlan, column: CheckColumns) -> list[str | None]:
    """The quantity whose limit decided, candidate by candidate; None where it was not judged, or a guard
    decided.
    """
    names: list[str | None] = []
    for point, counting in zip(column.point.tolist(), column.counting.tolist(), strict=True):
        if point < 0:
            names.append(None)
            continue
        point_plan, limit = deciding(check_plan, point, counting)
        judges = limit.bound.judges
        names.append(evaluator.rulebook.identify(judges, point_plan.point) if judges else None)
    return names


def same_length(columns: dict[str, Sized]) -> None:
    """SpecError where the columns are not of one length."""
    lengths = {path: len(column) for path, column in columns.items()}
    longest = max(lengths.values())
    if len(set(lengths.values())) > 1:
        raise SpecError(
            [
                SpecFault(
                    f"/columns/{path}",
                    "unequal",
                    f"This column has {length} candidates, another one has {longest}.",
                    "columns of one length: entry by entry they make one candidate",
                )
                for path, length in lengths.items()
                if length != longest
            ]
        )
