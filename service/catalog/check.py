"""What a catalog must not hold: duplicate numbers, unknown slots, fields a build spec would refuse, parts changed under their number."""

from dataclasses import dataclass

from service.catalog.part import Part
from service.catalog.slots import SLOTS
from service.errors import CatalogError, Problem, SpecError
from service.evaluation.reading.spec import SpecReader
from service.units.choice_reading import nearest


@dataclass(frozen=True, slots=True)
class Placed:
    """A part and where it is written: file, line or row, and where each of its values stands."""

    part: Part
    file: str
    line: int
    places: dict[str, str]


def checked(placed: list[Placed], reader: SpecReader, ledger: dict[str, str]) -> dict[str, Part]:
    """The parts by number, or CatalogError with everything that is wrong. `ledger`: digests of parts seen before."""
    problems: list[Problem] = []
    parts: dict[str, Part] = {}
    first: dict[str, Placed] = {}
    for one in placed:
        part = one.part
        if part.number in first:
            before = first[part.number]
            problems.append(
                Problem(
                    one.file,
                    one.line,
                    f"the number `{part.number}` is taken already in {before.file}:{before.line}.",
                    "Give each part a number of its own.",
                )
            )
            continue
        first[part.number] = one
        problems += _slot(one) + _fields(one, reader)
        if ledger.get(part.number, part.digest()) != part.digest():
            problems.append(
                Problem(
                    one.file,
                    one.line,
                    f"the part `{part.number}` was changed under the same number.",
                    "Give the changed part a new number, so that builds that name the old one keep their meaning.",
                )
            )
        parts[part.number] = part
    if problems:
        raise CatalogError(problems)
    return parts


def _slot(one: Placed) -> list[Problem]:
    if one.part.slot in SLOTS:
        groups = SLOTS[one.part.slot][1]
        wrong = [group for group in one.part.gives if group not in groups]
        return [
            Problem(
                one.file,
                one.line,
                f"`{one.part.number}` gives fields of {group}, which a part of the slot {one.part.slot} does not fill.",
                f"It may give fields of {', '.join(groups)}.",
            )
            for group in wrong
        ]
    close = nearest(one.part.slot, SLOTS)
    return [
        Problem(
            one.file,
            one.line,
            f"`{one.part.number}` is of the slot `{one.part.slot}`, which there is not.",
            f"Did you mean {close}?" if close else f"Slots: {', '.join(SLOTS)}.",
        )
    ]


def _fields(one: Placed, reader: SpecReader) -> list[Problem]:
    """A part's fields are read as a client's would be; a unit mistake shows here and not in an answer."""
    try:
        reader.read(one.part.gives)
    except SpecError as error:
        problems = []
        for fault in error.faults:
            path = fault.pointer.removeprefix("/build/").replace("/", ".")
            suggestion = f" Did you mean {fault.suggestion}?" if fault.suggestion else ""
            problems.append(
                Problem(
                    one.file,
                    one.line,
                    f"`{one.part.number}`{one.places.get(path, f', {path}')}: {fault.detail}",
                    f"Wanted: {fault.expected}.{suggestion}",
                )
            )
        return problems
    return []
