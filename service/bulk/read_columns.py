"""A batch of builds read column by column: each text once, and rows that are known alike put together."""

from collections.abc import Hashable, Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy
import pyarrow  # type: ignore[import-untyped]  # it carries no types

from service.errors import SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge_columns import IntColumn
from service.evaluation.known import Known
from service.evaluation.running.columns import FloatColumn
from service.json_object import JsonObject

# Values of a column that are remembered from one batch to the next.
MOST_REMEMBERED = 20_000
# The kind of a value that has to be read with its row.
WITH_ITS_ROW = 1


class Alike(NamedTuple):
    """Rows for which the same is known: a build that stands for them, and the numbers of each by name."""

    rows: IntColumn
    first: Known
    columns: dict[str, FloatColumn]


@dataclass(slots=True)
class _Column:
    """A column of a batch: its distinct values, which of them each row has, and what each kind of value adds.

    Kind zero is a cell that is empty.
    """

    path: str
    places: IntColumn
    readings: list[Known | None]
    kinds: IntColumn

    @property
    def kind_of_row(self) -> IntColumn:
        return self.kinds[self.places]

    def numbers(self, rows: IntColumn) -> dict[str, FloatColumn]:
        """The numbers of some rows of one kind, by name."""
        places = self.places[rows]
        first = self.readings[places[0]]
        values = [reading.numbers if reading else {} for reading in self.readings]
        return {
            name: numpy.array([numbers.get(name, numpy.nan) for numbers in values])[places]
            for name in (first.numbers if first else ())
        }


class ColumnReader:
    """Reads batches of builds; the readings of a value are kept for the next batch."""

    def __init__(self, evaluator: Evaluator):
        self.evaluator = evaluator
        self._readings: dict[str, dict[Hashable, Known | None]] = {}

    def alike(self, batch: pyarrow.RecordBatch) -> tuple[list[Alike], IntColumn]:
        """The rows that are known alike, and those that have to be read one by one.

        A reader looks at one field, and what it finds goes under names of its own: fields together are what
        they are alone. Where a value is at fault, two fields speak of one name, or something that was said
        may be set aside, the row is left to be read as a whole.
        """
        columns = [self._column(name, batch.column(name)) for name in batch.schema.names if name != "id"]
        groups = numpy.zeros(batch.num_rows, int)
        for column in columns:
            kinds = column.kind_of_row
            groups = numpy.unique(groups * (kinds.max() + 1) + kinds, return_inverse=True)[1]
        alike, one_by_one = [], [numpy.zeros(0, int)]
        for rows in _members(groups):
            together = self._together(columns, rows)
            if together is None:
                one_by_one.append(rows)
            else:
                alike.append(together)
        return alike, numpy.sort(numpy.concatenate(one_by_one))

    def _together(self, columns: list[_Column], rows: IntColumn) -> Alike | None:
        known = Known()
        numbers: dict[str, FloatColumn] = {}
        for column in columns:
            place = column.places[rows[0]]
            if column.kinds[place] == WITH_ITS_ROW:
                return None
            reading = column.readings[place]
            if reading is None:
                continue
            for mine, its in (
                (known.numbers, reading.numbers),
                (known.choices, reading.choices),
                (known.curves, reading.curves),
                (known.tolerances, reading.tolerances),
            ):
                if not its.keys().isdisjoint(mine):
                    return None
                mine.update(its)
            numbers |= column.numbers(rows)
        return None if self.evaluator.may_set_aside(known) else Alike(rows, known, numbers)

    def _column(self, path: str, values: Any) -> _Column:
        distinct, places = _distinct(values)
        remembered = self._readings.setdefault(path, {})
        kinds: dict[Hashable, int] = {None: 0, "at fault": WITH_ITS_ROW}
        if len(remembered) + len(distinct) > MOST_REMEMBERED:
            remembered.clear()
        readings: list[Known | None] = [None]
        numbers = [0]
        for value in distinct:
            key = (type(value), value) if isinstance(value, Hashable) else repr(value)
            if key not in remembered:
                remembered[key] = self._reading(path, value)
            reading = remembered[key]
            readings.append(reading)
            kind = _kind(reading) if reading else "at fault"
            numbers.append(kinds.setdefault(kind, len(kinds)))
        return _Column(path, places, readings, numpy.array(numbers))

    def _reading(self, path: str, value: object) -> Known | None:
        """What a value says by itself; None where it is at fault."""
        try:
            return self.evaluator.reader.read(build_of({path: value}))
        except SpecError:
            return None


def build_of(row: dict[str, object]) -> JsonObject:
    """A row as a build: columns are named as inputs, and an empty cell is not given."""
    build: JsonObject = {}
    for path, value in row.items():
        if value is not None:
            group, _, name = path.rpartition(".")
            (build.setdefault(group, {}) if group else build)[name] = value
    return build


def _kind(reading: Known) -> Hashable:
    """Equal for readings that differ in numbers alone."""
    return (
        tuple(reading.numbers),
        tuple(reading.choices.items()),
        tuple(reading.tolerances),
        repr(reading.curves),
    )


def _distinct(values: Any) -> tuple[list[object], IntColumn]:
    """The distinct values, and for each row the place of its own counted from one; zero where it is empty."""
    if pyarrow.types.is_nested(values.type):
        rows = values.to_pylist()
        texts = {repr(value): value for value in rows if value is not None}
        order = {text: place for place, text in enumerate(texts, 1)}
        return list(texts.values()), numpy.array([order.get(repr(value), 0) for value in rows])
    encoded = values if pyarrow.types.is_dictionary(values.type) else values.dictionary_encode()
    places = encoded.indices.fill_null(-1).to_numpy(zero_copy_only=False) + 1
    return encoded.dictionary.to_pylist(), places.astype(int)


def _members(groups: IntColumn) -> Iterator[IntColumn]:
    """The rows of each group."""
    order = numpy.argsort(groups, kind="stable")
    if len(order):
        yield from numpy.split(order, numpy.flatnonzero(numpy.diff(groups[order])) + 1)
