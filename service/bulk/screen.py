"""A Parquet file of builds becomes a Parquet file of verdicts, batch by batch, so that its size does not
matter.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from pathlib import Path
from typing import Protocol

import numpy
import pyarrow  # type: ignore[import-untyped]  # it carries no types
import pyarrow.parquet as parquet  # type: ignore[import-untyped]  # as above

from service.bulk.read_columns import Alike, ColumnReader, build_of
from service.bulk.verdict_columns import VerdictColumns, completed, schema
from service.errors import ServiceError, SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge_columns import IntColumn
from service.evaluation.known import Known
from service.evaluation.many import numbers_of, sharing_a_plan
from service.evaluation.sweep import sweep
from service.rulebook.load import load_rulebook

ROWS_OF_A_BATCH = 20_000
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
    reader = _reader(rules)
    evaluator = reader.evaluator
    verdicts = VerdictColumns(evaluator, batch.num_rows)
    faults: list[str | None] = [None] * batch.num_rows
    alike, one_by_one = reader.alike(batch)
    for rows, first, columns in [*alike, *_read(evaluator, batch, one_by_one, faults)]:
        verdicts.put(rows, sweep(evaluator, evaluator.plan(first), first, columns))
    ids: list[str | None] = [None] * batch.num_rows
    if "id" in batch.schema.names:
        ids = [str(value) for value in batch.column("id").to_pylist()]
    return verdicts.filled(pyarrow.array(ids, pyarrow.string()), faults)


def _read(
    evaluator: Evaluator, batch: pyarrow.RecordBatch, rows: IntColumn, faults: list[str | None]
) -> list[Alike]:
    """Rows read one by one, those that are known alike together; faults go to their place in the list."""
    known: list[Known] = []
    places: list[int] = []
    for place, row in zip(rows.tolist(), batch.take(rows).to_pylist(), strict=True):
        row.pop("id", None)
        try:
            known.append(evaluator.read(build_of(row)))
            places.append(place)
        except SpecError as error:
            faults[place] = "; ".join(
                f"{fault.pointer.removeprefix('/build/').replace('/', '.')}: {fault.detail}"
                for fault in error.faults
            )
    return [
        Alike(
            numpy.array([places[position] for position in positions]),
            known[positions[0]],
            numbers_of(known, positions),
        )
        for positions in sharing_a_plan(known)
    ]


def _write(batches: Iterable[pyarrow.RecordBatch], target: Path, rules: Path) -> int:
    rows, wanted = 0, schema(_reader(rules).evaluator)
    with parquet.ParquetWriter(target, wanted) as writer:
        for batch in batches:
            writer.write_batch(completed(batch, wanted))
            rows += batch.num_rows
    return rows


def _open(source: Path) -> parquet.ParquetFile:
    try:
        return parquet.ParquetFile(source)
    except (OSError, pyarrow.ArrowInvalid) as error:
        raise ServiceError(f"{source}: is no Parquet file that can be read.") from error


@lru_cache(maxsize=1)
def _reader(rules: Path) -> ColumnReader:
    """One reader a process, over one evaluator: a worker of a cluster loads its own."""
    return ColumnReader(Evaluator(load_rulebook(rules)))
