"""Assumptions as a build takes them: of each the row that fits the choices made."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

from service.rulebook.input import UNKNOWN
from service.rulebook.model import Assumption, AssumptionRow
from service.rulebook.names import identifier

Row = TypeVar("Row")
NOTHING: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Lean:
    """An assumption as this build takes it: the row that fits, or the `unknown` row of a table.

    `stated`: its input was given, and the row says how far what was given may differ from the typical figure.
    """

    id: str
    input: str | None
    row: AssumptionRow | None
    table: str | None = None
    stated: bool = False

    @property
    def certain_row(self) -> AssumptionRow:
        """The row of an assumption that is no table."""
        assert self.row is not None, f"{self.id} is a table"
        return self.row

    @property
    def ends(self) -> tuple[float, ...]:
        """Between which figures the right one may lie, without an end that is the typical figure; none for a
        table.
        """
        if self.row is None:
            return ()
        return tuple(end for end in dict.fromkeys((self.row.low, self.row.high)) if end != self.row.typical)


class Assumed(NamedTuple):
    """What one assumption adds to a plan: its figures, and the assumptions behind each of them."""

    lean: Lean
    figures: dict[str, float]
    leaning: dict[str, frozenset[str]]


class AssumedRows:
    """Remembers what each assumption adds for each combination of choices; the rules bound how many there
    are.
    """

    def __init__(self, assumptions: Collection[Assumption]):
        self._remembered: list[tuple[Assumption, str, dict[tuple[object, ...], Assumed | None]]] = [
            (assumption, identifier(assumption.stands_for or ""), {}) for assumption in assumptions
        ]

    def fitting(self, choices: Mapping[str, str], given: Collection[str]) -> Iterator[Assumed]:
        """Of every assumption what it adds, where it has a row for these choices."""
        for assumption, stands_for, remembered in self._remembered:
            stated = assumption.stands_for in choices or stands_for in given
            key = (stated, *[choices.get(choice, UNKNOWN) for choice in assumption.by])
            if key not in remembered:
                remembered[key] = _assumed(assumption, choices, stated)
            assumed = remembered[key]
            if assumed is not None:
                yield assumed


def row_of(
    choices: Mapping[str, str], by: tuple[str, ...], rows: Iterable[tuple[tuple[str, ...], Row]]
) -> Row | None:
    """Of rows with a pattern of words each (`*`: any), the first that fits the choices made."""
    words = [choices.get(choice, UNKNOWN) for choice in by]
    for pattern, row in rows:
        if all(expected in ("*", word) for expected, word in zip(pattern, words, strict=True)):
            return row
    return None


def _assumed(assumption: Assumption, choices: Mapping[str, str], stated: bool) -> Assumed | None:
    row = row_of(choices, assumption.by, ((row.pattern, row) for row in assumption.rows))
    if row is None:
        return None
    name = assumption.name
    # A figure without spread for a choice that was made is a fact of that choice: nothing is assumed.
    settled = stated and row.low == row.high
    typical, lowest, highest = f"assumed__{name}", f"lowest__{name}", f"highest__{name}"
    return Assumed(
        Lean(name, assumption.stands_for, row, stated=stated),
        {typical: row.typical, lowest: row.low, highest: row.high},
        # The ends are what is usual, a fact to judge against; only the typical value stands in for an input.
        {typical: NOTHING if settled else frozenset({name}), lowest: NOTHING, highest: NOTHING},
    )
