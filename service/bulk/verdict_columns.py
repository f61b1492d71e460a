"""The verdicts of a batch as columns of a table."""

from typing import Any

import numpy
import pyarrow  # type: ignore[import-untyped]  # it carries no types

from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge_columns import NOT_APPLICABLE, VERDICTS, IntColumn
from service.evaluation.running.columns import FloatColumn
from service.evaluation.sweep import Swept

# Words by severity from the lowest on, and the one of a row that cannot be read.
_WORDS = [VERDICTS[severity] for severity in sorted(VERDICTS)] + ["refused"]
REFUSED = max(VERDICTS) + 1
_EMPTY = NOT_APPLICABLE - 1


def schema(evaluator: Evaluator) -> pyarrow.Schema:
    """id, verdict, faults, then verdict and margin of every check."""
    fields = [("id", pyarrow.string()), ("verdict", pyarrow.string()), ("faults", pyarrow.string())]
    for check in evaluator.rulebook.checks.values():
        fields.append((f"{check.id}", pyarrow.string()))
        if not check.collects:
            fields.append((f"{check.id}.margin", pyarrow.float64()))
    return pyarrow.schema(fields, metadata={"rulebook": evaluator.rulebook.digest})


class VerdictColumns:
    """Collects the verdicts of some rows; a row that nothing is put in is refused."""

    def __init__(self, evaluator: Evaluator, rows: int):
        self.rows = rows
        self.consistency = next(check.id for check in evaluator.rulebook.checks.values() if check.collects)
        self.whole = numpy.full(rows, REFUSED)
        self._severity: dict[str, IntColumn] = {}
        self._margin: dict[str, FloatColumn] = {}

    def put(self, rows: IntColumn, swept: Swept) -> None:
        """The verdicts of these rows."""
        self.whole[rows] = swept.whole
        if swept.consistency is not None:
            self._severity_of(self.consistency)[rows] = swept.consistency
        for check_plan, column in zip(swept.plan.checks, swept.checks, strict=True):
            judged = column.severity >= 0
            check = check_plan.check.id
            self._severity_of(check)[rows] = numpy.where(judged, column.severity, _EMPTY)
            margins = self._margin.setdefault(check, numpy.full(self.rows, numpy.nan))
            margins[rows] = numpy.where(judged, column.margin, numpy.nan)

    def filled(self, ids: Any, faults: list[str | None]) -> pyarrow.RecordBatch:
        """The columns that hold anything: few of all there are, and small on their way between processes."""
        columns = {"id": ids, "verdict": _words(self.whole)}
        columns["faults"] = pyarrow.array(faults, pyarrow.string())
        columns |= {check: _words(severity) for check, severity in self._severity.items()}
        columns |= {
            f"{check}.margin": pyarrow.array(margin, mask=numpy.isnan(margin))
            for check, margin in self._margin.items()
        }
        return pyarrow.RecordBatch.from_pydict(columns)

    def _severity_of(self, check: str) -> IntColumn:
        return self._severity.setdefault(check, numpy.full(self.rows, _EMPTY))


def _words(severity: IntColumn) -> Any:
    places = pyarrow.array((severity - NOT_APPLICABLE).astype("i1"), mask=severity == _EMPTY)
    return pyarrow.DictionaryArray.from_arrays(places, _WORDS)


def completed(batch: pyarrow.RecordBatch, wanted: pyarrow.Schema) -> pyarrow.RecordBatch:
    """Every column there is; what no row has is empty."""
    empty = {kind: pyarrow.nulls(batch.num_rows, kind) for kind in set(wanted.types)}
    held = set(batch.schema.names)
    arrays = [
        batch.column(field.name).cast(field.type) if field.name in held else empty[field.type]
        for field in wanted
    ]
    return pyarrow.RecordBatch.from_arrays(arrays, schema=wanted)
