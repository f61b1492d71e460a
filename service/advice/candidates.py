"""The parts that could fill each open slot of a build, as what they add to it."""

from dataclasses import dataclass, replace
from typing import NamedTuple
from weakref import WeakKeyDictionary

from service.catalog.catalog import Catalog, go_together, stated_fields
from service.catalog.expand import expanded
from service.catalog.part import Part
from service.evaluation.known import Known
from service.evaluation.reading.spec import SpecReader
from service.json_object import JsonObject

# Texts of a catalog whose readings are kept: those of some twenty thousand parts.
MOST_READINGS = 50_000


@dataclass(frozen=True, slots=True)
class Candidate:
    """A part and what it gives that the build does not state itself: numbers, choices and curves by input
    path.
    """

    part: Part
    adds: dict[str, Known]

    def seen_by(self, paths: frozenset[str]) -> tuple[object, ...]:
        """What a check that depends on some inputs can tell of it: equal for parts that are the same to the
        check.
        """
        # A unit may choose as well: 500 wtq is at the wheels.
        return tuple(
            (path, tuple(known.numbers.items()), tuple(known.choices.items()), repr(known.curves))
            for path, known in sorted(self.adds.items())
            if path in paths
        )


class _Readings:
    """What the texts of a catalog say, by group, name and text; each reader speaks units of its own."""

    def __init__(self) -> None:
        self.by_reader: WeakKeyDictionary[SpecReader, dict[tuple[str, str, str], Known]] = WeakKeyDictionary()


class Fixed(NamedTuple):
    """The parts already chosen, and the slots that are open: nothing delivered stands in those."""

    parts: list[Part]
    open_slots: tuple[str, ...]


class Candidates:
    """Finds candidates for one build.

    `build`: as the client wrote it; what a part gives of a field stated there, or given by a part already
    chosen, is left out.
    """

    def __init__(self, reader: SpecReader, catalog: Catalog, build: JsonObject, fixed: Fixed):
        self.reader, self.catalog, self.fixed = reader, catalog, fixed.parts
        self.stated = stated_fields(build)
        self.ready = expanded(build, fixed.parts, fixed.open_slots)
        self.choices = reader.read(self.ready).choices
        self.readings = catalog.kept.once(_Readings, _Readings).by_reader.setdefault(reader, {})

    def of(self, slot: str, in_stock: bool) -> list[Candidate]:
        """The parts of a slot that go with the parts chosen and contradict nothing the build states, cheapest
        first.
        """
        return [
            Candidate(part, adds)
            for part in self.catalog.slots.get(slot, ())
            if (part.stock or not in_stock) and go_together([*self.fixed, part], self.stated)
            if self._agrees(adds := self._adds(part))
        ]

    def _adds(self, part: Part) -> dict[str, Known]:
        return {
            f"{group}.{name}": self._read(group, name, value)
            for group, fields in part.gives.items()
            for name, value in fields.items()
            if name not in self.ready.get(group, {})
        }

    def _read(self, group: str, name: str, value: object) -> Known:
        """One field; a text always reads the same, and the catalog says it again in the next selection."""
        if not isinstance(value, str):
            return self.reader.read({group: {name: value}})
        key = (group, name, value)
        if key not in self.readings:
            if len(self.readings) >= MOST_READINGS:
                self.readings.clear()
            self.readings[key] = self.reader.read({group: {name: value}})
        return self.readings[key]

    def _agrees(self, adds: dict[str, Known]) -> bool:
        """Whether the choices that come with the fields are those of the build."""
        choices = [item for known in adds.values() for item in known.choices.items()]
        return all(self.choices.get(path, word) == word for path, word in choices)


def added(known: Known, candidate: Candidate, paths: frozenset[str] | None = None) -> Known:
    """A build with what a candidate adds, or with the part of it that some inputs see."""
    additions = [addition for path, addition in candidate.adds.items() if paths is None or path in paths]
    if not additions:
        return known
    numbers, choices, curves = dict(known.numbers), dict(known.choices), dict(known.curves)
    for addition in additions:
        numbers |= addition.numbers
        choices |= addition.choices
        curves |= addition.curves
    return replace(known, numbers=numbers, choices=choices, curves=curves)
