"""The field `columns` of a sweep: candidates by input, as a list or from where to where and how many."""

from typing import Any, NamedTuple

import numpy as np
from marshmallow import ValidationError

from service.advice.sweeps import MOST_CANDIDATES
from service.rulebook.input import Input
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook
from service.units.choice_reading import nearest, read_count
from service.units.fault import LONGEST_TEXT, Fault
from service.web.api.json_schema import NUMBER, TEXT, Schema, closed, list_of, one_of, record
from service.web.api.requests.lone_number import read_lone_number
from service.web.api.requests.request_field import RequestField

MOST_COLUMNS = 8
_NO_COLUMN = Fault(
    "wrong-type",
    "This is no column of candidates.",
    '["8 psi", "9 psi", ...] or {"from": "5 psi", "to": "20 psi", "count": 100}',
)
# As the input stands in a build: a number with its unit, or a bare one where none is needed.
_CANDIDATE: Schema = {
    "title": "Candidate",
    "oneOf": [TEXT | {"maxLength": LONGEST_TEXT}, NUMBER, closed(record({"value": NUMBER, "unit": TEXT}))],
}


class Column(NamedTuple):
    """The identifier that a column fills, and its values in SI."""

    name: str
    values: list[float]


class _Candidate(NamedTuple):
    name: str
    value: float


class Columns(RequestField):
    """Columns of candidates by the path of their input."""

    expected = f'{{"induction.boost": ["8 psi", "9 psi"]}}, up to {MOST_COLUMNS} inputs'
    example = '{"columns": {"induction.boost": [...]}}'

    def __init__(self, rulebook: Rulebook, **rest: Any):
        super().__init__(**rest)
        self.movable = {
            path: source for path, source in rulebook.inputs.items() if source.kind in ("number", "count")
        }

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> dict[str, Column]:
        if not isinstance(value, dict) or not 1 <= len(value) <= MOST_COLUMNS:
            raise self.wrong_type()
        faults: dict[str, Fault] = {}
        columns: dict[str, Column] = {}
        for path, given in value.items():
            column = _column(self.movable[path], given) if path in self.movable else self._not_movable(path)
            if isinstance(column, Fault):
                faults[path] = column
            else:
                columns[path] = column
        if faults:
            raise ValidationError(faults)
        return columns

    def _not_movable(self, path: str) -> Fault:
        return Fault(
            "not-movable",
            "There is no such number among the inputs.",
            "the name of an input that is a number",
            nearest(path[:64], self.movable),
        )

    def shape(self) -> Schema:
        count: Schema = {"type": "integer", "minimum": 2, "maximum": MOST_CANDIDATES}
        spaced = closed(record({"from": _CANDIDATE, "to": _CANDIDATE, "count": count}))
        return {
            "type": "object",
            "minProperties": 1,
            "maxProperties": MOST_COLUMNS,
            "propertyNames": one_of(self.movable),
            "additionalProperties": {"oneOf": [list_of(_CANDIDATE, 1, MOST_CANDIDATES), spaced]},
        }


def _column(source: Input, given: object) -> Column | Fault:
    if isinstance(given, dict):
        return _spaced_evenly(source, given)
    if not isinstance(given, list) or not 1 <= len(given) <= MOST_CANDIDATES:
        return _NO_COLUMN
    candidates = []
    for position, value in enumerate(given):
        candidate = _candidate(source, value)
        if isinstance(candidate, Fault):
            return candidate._replace(detail=f"Candidate {position}: {candidate.detail}")
        candidates.append(candidate)
    return _one_column(candidates)


def _spaced_evenly(source: Input, given: dict[str, Any]) -> Column | Fault:
    if (
        set(given) != {"from", "to", "count"}
        or not isinstance(given["count"], int)
        or not 2 <= given["count"] <= MOST_CANDIDATES
        or source.kind == "count"
    ):
        return _NO_COLUMN
    low, high = (_candidate(source, given[end]) for end in ("from", "to"))
    if isinstance(low, Fault):
        return low
    if isinstance(high, Fault):
        return high
    column = _one_column([low, high])
    if isinstance(column, Fault):
        return column
    return Column(low.name, np.linspace(low.value, high.value, given["count"]).tolist())


def _one_column(candidates: list[_Candidate]) -> Column | Fault:
    """Candidates of one kind: an injector by its mass flow and one by its volume flow make no column."""
    if len({candidate.name for candidate in candidates}) > 1:
        return _NO_COLUMN
    return Column(candidates[0].name, [candidate.value for candidate in candidates])


def _candidate(source: Input, given: object) -> _Candidate | Fault:
    if source.form is None:
        count = read_count(given, source.label, source.possible_count)
        return count if isinstance(count, Fault) else _Candidate(identifier(source.path), float(count))
    reading = read_lone_number(given, source.form)
    if isinstance(reading, Fault):
        return reading
    return _Candidate(identifier(source.words[reading.dimension]), reading.value)
