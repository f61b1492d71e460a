"""A Parquet file of builds becomes a Parquet file of verdicts, batch by batch, so that its size does not
matter.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from pathlib import Path
from typing import Protocol

import pyarrow  # type: ignore[import-untyped]  # it carries no types
import pyarrow.parquet as parquet  # type: ignore[import-untyped]  # as above

from service.errors import ServiceError, SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.known import Known
from service.evaluation.many import Outcomes, judge_many
from service.json_object import JsonObject
from service.rulebook.load import load_rulebook

ROWS_OF_A_BATCH = 5_000
# Wraps the batches, a bar for instance.
Progress = Callable[[Iterable[pyarrow.RecordBatch]], Iterable[pyarrow.RecordBatch]]


class Submitted(Protocol):
    """A batch on its way."""

    def result(self) -> pyarrow.RecordBatch: ...


class Cluster(Protocol):
    """What is needed of a Dask client."""

    def nthreads(self) -> dict[str, int]: ...

    def submit(
        self, call: Callable[..., pyarrow.RecordBatch], *arguments: object, pure: bool
    ) -> Submitted: ...


def screen(
    source: Path, target: Path, rules: Path, rows: int = ROWS_OF_A_BATCH, progress: Progress | None = None
) -> int:
    """Judge every row of `source`; returns how many. `progress` wraps the batches, a bar for instance."""
    file = _open(source)
    batches = file.iter_batches(batch_size=rows)
    judged = (screen_batch(batch, rules) for batch in (progress(batches) if progress else batches))
    return _write(judged, target, rules)


def screen_on_cluster(
    source: Path, target: Path, rules: Path, client: Cluster, rows: int = ROWS_OF_A_BATCH
) -> int:
    """The same over the processes of a Dask cluster, a few batches in flight for each; the same bytes come
    out.
    """
    flying: list[Submitted] = []
    most = 2 * max(1, sum(client.nthreads().values()))

    def judged() -> Iterator[pyarrow.RecordBatch]:
        for batch in _open(source).iter_batches(batch_size=rows):
            flying.append(client.submit(screen_batch, batch, rules, pure=False))
            if len(flying) >= most:
                yield flying.pop(0).result()
        while flying:
            yield flying.pop(0).result()

    return _write(judged(), target, rules)


def screen_batch(batch: pyarrow.RecordBatch, rules: Path) -> pyarrow.RecordBatch:
    """The verdicts of a batch of rows; `id` is carried over.

    Columns are named as inputs (`induction.boost`); an empty cell is not given.
    """
    evaluator = _evaluator(rules)
    known: list[Known] = []
    places: list[int] = []
    faults: list[str | None] = []
    for place, row in enumerate(batch.to_pylist()):
        row.pop("id", None)
        try:
            known.append(evaluator.read(_build(row)))
            places.append(place)
            faults.append(None)
        except SpecError as error:
            faults.append(
                "; ".join(
                    f"{fault.pointer.removeprefix('/build/').replace('/', '.')}: {fault.detail}"
                    for fault in error.faults
                )
            )
    outcomes: list[Outcomes | None] = [None] * batch.num_rows
    for place, outcome in zip(places, judge_many(evaluator, known), strict=True):
        outcomes[place] = outcome
    return _columns(evaluator, batch, outcomes, faults)


def schema(evaluator: Evaluator) -> pyarrow.Schema:
    """id, verdict, faults, then verdict and margin of every check."""
    fields = [("id", pyarrow.string()), ("verdict", pyarrow.string()), ("faults", pyarrow.string())]
    for check in evaluator.rulebook.checks.values():
        fields.append((f"{check.id}", pyarrow.string()))
        if not check.collects:
            fields.append((f"{check.id}.margin", pyarrow.float64()))
    return pyarrow.schema(fields, metadata={"rulebook": evaluator.rulebook.digest})


def _columns(
    evaluator: Evaluator,
    batch: pyarrow.RecordBatch,
    outcomes: list[Outcomes | None],
    faults: list[str | None],
) -> pyarrow.RecordBatch:
    columns: dict[str, list[object]] = {name: [None] * len(outcomes) for name in schema(evaluator).names}
    columns["id"] = (
        [str(value) for value in batch.column("id").to_pylist()]
        if "id" in batch.schema.names
        else [None] * len(outcomes)
    )
    columns["faults"] = list(faults)
    consistency = next(check.id for check in evaluator.rulebook.checks.values() if check.collects)
    for place, outcome in enumerate(outcomes):
        if outcome is None:
            columns["verdict"][place] = "refused"
            continue
        columns["verdict"][place] = outcome.verdict
        columns[consistency][place] = outcome.consistency
        for judged in outcome.checks:
            columns[judged.check][place] = judged.verdict
            columns[f"{judged.check}.margin"][place] = judged.margin
    return pyarrow.RecordBatch.from_pydict(columns, schema=schema(evaluator))


def _write(batches: Iterable[pyarrow.RecordBatch], target: Path, rules: Path) -> int:
    rows = 0
    with parquet.ParquetWriter(target, schema(_evaluator(rules))) as writer:
        for batch in batches:
            writer.write_batch(batch)
            rows += batch.num_rows
    return rows


def _open(source: Path) -> parquet.ParquetFile:
    try:
        return parquet.ParquetFile(source)
    except (OSError, pyarrow.ArrowInvalid) as error:
        raise ServiceError(f"{source}: is no Parquet file that can be read.") from error


def _build(row: dict[str, object]) -> JsonObject:
    build: JsonObject = {}
    for path, value in row.items():
        if value is not None:
            group, _, name = path.rpartition(".")
            (build.setdefault(group, {}) if group else build)[name] = value
    return build


@lru_cache(maxsize=1)
def _evaluator(rules: Path) -> Evaluator:
    """One evaluator a process: a worker of a cluster loads its own."""
    return Evaluator(load_rulebook(rules))
