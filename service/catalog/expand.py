"""Part numbers in a build become the fields that those parts give; a field given explicitly wins."""

from collections.abc import Iterable, Mapping
from typing import Any

from service.catalog.catalog import Catalog, Clash, disagreements, misfits, stated_fields
from service.catalog.part import Part
from service.errors import SpecError, SpecFault
from service.evaluation.reading.spec import pointer_part
from service.rulebook.slot import Slot
from service.units.choice_reading import nearest

# A number is looked for among all of its slot: 4 ms for a thousand of them.
MOST_COMPARED = 2000
_PARTS = "/build/parts"


def parts_of(
    build: dict[str, Any], catalog: Catalog, slots: Mapping[str, Slot], suggest: bool = True
) -> list[Part]:
    """The parts a build names; SpecError with every slot or number that is unknown, and the nearest known."""
    parts, faults = [], []
    for slot, number in _numbers_by_slot(build, slots).items():
        part_or_fault = (
            _part_or_fault(catalog, slot, number, suggest) if slot in slots else _no_slot(slot, slots)
        )
        if isinstance(part_or_fault, Part):
            parts.append(part_or_fault)
        else:
            faults.append(part_or_fault)
    if faults:
        raise SpecError(faults)
    return parts


def _numbers_by_slot(build: dict[str, Any], slots: Mapping[str, Slot]) -> dict[str, object]:
    named = build.get("parts", {})
    if not isinstance(named, dict):
        detail, expected = (
            "`parts` is not an object of slots and part numbers.",
            '{"injectors": "a part number", ...}',
        )
        raise SpecError([SpecFault(_PARTS, "wrong-type", detail, expected)])
    if len(named) > len(slots):
        detail, expected = "There are more parts than slots.", f"one number a slot: {', '.join(slots)}"
        raise SpecError([SpecFault(_PARTS, "too-many", detail, expected)])
    return named


def _no_slot(slot: str, slots: Mapping[str, Slot]) -> SpecFault:
    close = nearest(slot[:64], slots)
    pointer = f"{_PARTS}/{pointer_part(slot)}"
    return SpecFault(pointer, "unknown-key", "There is no such slot.", ", ".join(slots), close)


def _part_or_fault(catalog: Catalog, slot: str, number: object, suggest: bool) -> Part | SpecFault:
    pointer = f"{_PARTS}/{pointer_part(slot)}"
    if not isinstance(number, str) or number not in catalog.parts:
        known = [part.number for part in catalog.slots.get(slot, ())] if suggest else []
        return SpecFault(
            pointer,
            "unknown-part",
            f"The catalog has no such part for the slot {slot}.",
            "a number listed by GET /v1/parts",
            nearest(number[:64], known) if isinstance(number, str) and len(known) <= MOST_COMPARED else None,
        )
    part = catalog.parts[number]
    if part.slot != slot:
        return SpecFault(pointer, "wrong-slot", f"This part is of the slot {part.slot}.", part.slot)
    return part


def expanded(build: dict[str, Any], parts: list[Part], open_slots: Iterable[str] = ()) -> dict[str, Any]:
    """The build without `parts`, with their fields filled in where the build says nothing itself.

    What was delivered gives way to a kit, and both to a part bought for a slot, or to one still to be chosen.
    """
    filled = {
        key: dict(value) if isinstance(value, dict) else value
        for key, value in build.items()
        if key != "parts"
    }
    for part in sorted(parts, key=lambda part: -part.rank):
        for group, fields in _in_its_place(part, parts, open_slots).items():
            stated = filled.setdefault(group, {})
            if isinstance(stated, dict):
                filled[group] = {**fields, **stated}
    return filled


def _in_its_place(part: Part, parts: list[Part], open_slots: Iterable[str]) -> dict[str, dict[str, object]]:
    """What a part gives, without the slots that another part has taken from it."""
    taken = set(open_slots)
    for other in parts:
        if other.rank > part.rank:
            taken.update({other.slot, *other.fills})
    gone = [
        (group, name)
        for slot in part.fills
        if slot in taken
        for group, fields in part.fills[slot].items()
        for name in fields
    ]
    return {
        group: {name: value for name, value in fields.items() if (group, name) not in gone}
        for group, fields in part.gives.items()
    }


def as_delivered(build: dict[str, Any], parts: list[Part]) -> list[str]:
    """The inputs that are still what the car came with, by path."""
    delivered = [part for part in parts if part.as_delivered]
    stated = stated_fields(build)
    others = {
        f"{group}.{name}"
        for part in parts
        if not part.as_delivered
        for group, fields in part.gives.items()
        for name in fields
    }
    return [
        path
        for part in delivered
        for group, fields in _in_its_place(part, parts, ()).items()
        for name in fields
        if (path := f"{group}.{name}") not in stated and path not in others
    ]


def fit_findings(parts: list[Part], build: dict[str, Any]) -> list[dict[str, Any]]:
    """What does not go together among the parts of a build: what does not meet, and what they contradict."""
    return [_finding(clash, _misfit_text(clash)) for clash in misfits(parts)] + [
        _finding(clash, _disagreement_text(clash)) for clash in disagreements(parts, stated_fields(build))
    ]


def _finding(clash: Clash, text: str) -> dict[str, Any]:
    return {"parts": [clash.part.number, clash.other.number], "over": clash.over, "text": text}


def _misfit_text(clash: Clash) -> str:
    part, other, key = clash
    fitting = " or ".join(_spaced(word) for word in part.fits[key])
    offered = _spaced(other.has[key])
    return f"{part.title}: fits {_spaced(key)} {fitting}, and {_inside(other.title)} has {offered}."


def _disagreement_text(clash: Clash) -> str:
    part, other, path = clash
    return f"{part.title} and {_inside(other.title)} disagree on {path}; give it in the build."


def _spaced(word: str) -> str:
    return word.replace("_", " ")


def _inside(title: str) -> str:
    """A title as it stands inside a sentence."""
    return title[:1].lower() + title[1:]
