"""What a catalog must not hold.

Duplicate numbers, unknown slots, fields a build spec would refuse, parts changed under their number.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from service.catalog.part import Part
from service.errors import CatalogError, Problem, SpecError, SpecFault
from service.evaluation.reading.spec import SpecReader
from service.rulebook.slot import Slot
from service.units.choice_reading import nearest


@dataclass(frozen=True, slots=True)
class PlacedPart:
    """A part and where it is written: file, line or row, and where each of its values stands."""

    part: Part
    file: str
    line: int
    places: dict[str, str]

    def problem(self, message: str, fix: str) -> Problem:
        """A mistake in it, at its place."""
        return Problem(self.file, self.line, message, fix)


def checked(placed_parts: list[PlacedPart], reader: SpecReader, ledger: dict[str, str]) -> dict[str, Part]:
    """The parts by number, or CatalogError with all that is wrong. `ledger`: digests of parts seen before."""
    problems: list[Problem] = []
    first: dict[str, PlacedPart] = {}
    for placed in placed_parts:
        number, digest = placed.part.number, placed.part.digest()
        if number in first:
            before = first[number]
            message = f"the number `{number}` is already used in {before.file}:{before.line}."
            problems.append(placed.problem(message, "Give each part a number of its own."))
            continue
        first[number] = placed
        problems += _slot_problems(placed, reader.rulebook.slots) + _field_problems(placed, reader)
        if ledger.get(number, digest) != digest:
            fix = (
                "Give the changed part a new number, so that builds that name the old one keep their meaning."
            )
            problems.append(placed.problem(f"the part `{number}` was changed under the same number.", fix))
    if problems:
        raise CatalogError(problems)
    slots = reader.rulebook.slots
    return {
        number: replace(placed.part, as_delivered=slots[placed.part.slot].as_delivered)
        for number, placed in first.items()
    }


def _slot_problems(placed: PlacedPart, slots: Mapping[str, Slot]) -> list[Problem]:
    part = placed.part
    if part.slot not in slots:
        return [_no_slot(placed, part.slot, slots)]
    problems = [_no_slot(placed, slot, slots) for slot in part.fills if slot not in slots]
    groups = dict.fromkeys(
        group for slot in (part.slot, *part.fills) if slot in slots for group in slots[slot].groups
    )
    return problems + [
        placed.problem(
            f"`{part.number}` gives fields of {group}, which a part of the slot {part.slot} does not fill.",
            f"It may give fields of {', '.join(groups)}.",
        )
        for group in part.gives
        if group not in groups
    ]


def _no_slot(placed: PlacedPart, slot: str, slots: Mapping[str, Slot]) -> Problem:
    close = nearest(slot, slots)
    fix = f"Did you mean {close}?" if close else f"Slots: {', '.join(slots)}."
    return placed.problem(f"`{placed.part.number}` is for the slot `{slot}`, which does not exist.", fix)


def _field_problems(placed: PlacedPart, reader: SpecReader) -> list[Problem]:
    """A part's fields are read as a client's would be; a unit mistake shows here and not in an answer."""
    try:
        reader.read(placed.part.gives)
    except SpecError as error:
        return [_field_problem(placed, fault) for fault in error.faults]
    return []


def _field_problem(placed: PlacedPart, fault: SpecFault) -> Problem:
    path = fault.pointer.removeprefix("/build/").replace("/", ".")
    place = placed.places.get(path, f", {path}")
    suggestion = f" Did you mean {fault.suggestion}?" if fault.suggestion else ""
    return placed.problem(
        f"`{placed.part.number}`{place}: {fault.detail}", f"Expected: {fault.expected}.{suggestion}"
    )
