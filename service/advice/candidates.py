"""The parts that could fill each open slot of a build, as what they add to it."""

from dataclasses import dataclass

from service.catalog.catalog import Catalog, go_together, stated_fields
from service.catalog.expand import expanded
from service.catalog.part import Part
from service.evaluation.known import Known
from service.evaluation.reading.spec import SpecReader


@dataclass(frozen=True, slots=True)
class Candidate:
    """A part and what it says that the build does not say itself: numbers, choices and curves by input path."""

    part: Part
    adds: dict[str, Known]

    def seen_by(self, paths: frozenset[str]) -> tuple:
        """What a check that hangs on some inputs can tell of it: equal for parts that are the same to the check."""
        # A unit may choose as well: 500 wtq is at the wheels.
        return tuple(
            (path, tuple(known.numbers.items()), tuple(known.choices.items()), repr(known.curves))
            for path, known in sorted(self.adds.items())
            if path in paths
        )


def candidates(
    reader: SpecReader, catalog: Catalog, build: dict, fixed: list[Part], slot: str, in_stock: bool
) -> list[Candidate]:
    """The parts of a slot that go with the parts already chosen and contradict nothing the build states, cheapest first.

    `build`: as the client wrote it; what a part says of a field stated there, or given by a part already chosen, is left out.
    """
    made = []
    stated = stated_fields(build)
    ready = expanded(build, fixed)
    choices = reader.read(ready).choices
    for part in catalog.slots.get(slot, ()):
        if (in_stock and part.stock == 0) or not go_together([*fixed, part], stated):
            continue
        adds = {
            f"{group}.{name}": reader.read({group: {name: value}})
            for group, fields in part.gives.items()
            for name, value in fields.items()
            if name not in ready.get(group, {})
        }
        if all(
            choices.get(path, word) == word for own in adds.values() for path, word in own.choices.items()
        ):
            made.append(Candidate(part, adds))
    return made


def added(known: Known, candidate: Candidate, paths: frozenset[str] | None = None) -> Known:
    """A build with what a candidate adds, or with the part of it that some inputs see."""
    for path, own in candidate.adds.items():
        if paths is None or path in paths:
            known = Known(
                {**known.numbers, **own.numbers},
                {**known.choices, **own.choices},
                {**known.curves, **own.curves},
                known.tolerances,
            )
    return known
