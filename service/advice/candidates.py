"""The parts that could fill each open slot of a build, as what they add to it."""

from dataclasses import dataclass

from service.catalog.catalog import Catalog, misfits
from service.catalog.part import Part
from service.evaluation.known import Known
from service.evaluation.spec import SpecReader


@dataclass(frozen=True, slots=True)
class Candidate:
    """A part and what it says that the build does not say itself: numbers, choices and curves by input path."""

    part: Part
    adds: dict[str, Known]

    def seen_by(self, paths: frozenset[str]) -> tuple:
        """What a check that hangs on some inputs can tell of it: equal for parts that are the same to the check."""
        return tuple((path, tuple(known.numbers.items()), known.choices.get(path), repr(known.curves)) for path, known in sorted(self.adds.items()) if path in paths)


def candidates(reader: SpecReader, catalog: Catalog, build: dict, fixed: list[Part], slot: str, in_stock: bool) -> list[Candidate]:
    """The parts of a slot that go with the parts already chosen, cheapest first."""
    made = []
    for part in catalog.slots.get(slot, ()):
        if (in_stock and part.stock == 0) or misfits([*fixed, part]):
            continue
        adds = {}
        for group, fields in part.gives.items():
            for name, value in fields.items():
                # A field given explicitly wins.
                if name not in build.get(group, {}):
                    adds[f"{group}.{name}"] = reader.read({group: {name: value}})
        made.append(Candidate(part, adds))
    return made


def added(known: Known, candidate: Candidate, paths: frozenset[str] | None = None) -> Known:
    """A build with what a candidate adds, or with the part of it that some inputs see."""
    for path, own in candidate.adds.items():
        if paths is None or path in paths:
            known = Known({**known.numbers, **own.numbers}, {**known.choices, **own.choices}, {**known.curves, **own.curves}, known.tolerances)
    return known

