"""Part numbers in a build become the fields that those parts give; a field given explicitly wins."""

from service.catalog.catalog import Catalog, disagreements, misfits, stated_fields
from service.catalog.part import Part
from service.catalog.slots import SLOTS
from service.errors import SpecError, SpecFault
from service.evaluation.reading.spec import pointer_part
from service.units.choice_reading import nearest

# A number is looked for among all of its slot: 4 ms for a thousand of them.
MOST_COMPARED = 2000


def parts_of(build: dict, catalog: Catalog, suggest: bool = True) -> list[Part]:
    """The parts a build names; SpecError with every slot or number that there is not, and with the nearest that there is."""
    named = build.get("parts", {})
    if not isinstance(named, dict):
        raise SpecError(
            [
                SpecFault(
                    "/build/parts",
                    "wrong-type",
                    "The parts are no object of slots and numbers.",
                    '{"injectors": "a part number", ...}',
                )
            ]
        )
    if len(named) > len(SLOTS):
        raise SpecError(
            [
                SpecFault(
                    "/build/parts",
                    "too-many",
                    "There are more parts than slots.",
                    f"one number a slot: {', '.join(SLOTS)}",
                )
            ]
        )
    parts, faults = [], []
    for slot, number in named.items():
        pointer = f"/build/parts/{pointer_part(slot)}"
        if slot not in SLOTS:
            faults.append(
                SpecFault(
                    pointer,
                    "unknown-key",
                    "There is no such slot.",
                    ", ".join(SLOTS),
                    nearest(slot[:64], SLOTS),
                )
            )
        elif not isinstance(number, str) or number not in catalog.parts:
            known = [part.number for part in catalog.slots.get(slot, ())] if suggest else []
            faults.append(
                SpecFault(
                    pointer,
                    "unknown-part",
                    f"The catalog has no such part for the slot {slot}.",
                    "a number listed by GET /v1/parts",
                    nearest(number[:64], known)
                    if isinstance(number, str) and len(known) <= MOST_COMPARED
                    else None,
                )
            )
        elif catalog.parts[number].slot != slot:
            faults.append(
                SpecFault(
                    pointer,
                    "wrong-slot",
                    f"This part is of the slot {catalog.parts[number].slot}.",
                    catalog.parts[number].slot,
                )
            )
        else:
            parts.append(catalog.parts[number])
    if faults:
        raise SpecError(faults)
    return parts


def expanded(build: dict, parts: list[Part]) -> dict:
    """The build without `parts`, with their fields filled in where the build says nothing itself."""
    made = {
        key: dict(value) if isinstance(value, dict) else value
        for key, value in build.items()
        if key != "parts"
    }
    for part in parts:
        for group, fields in part.gives.items():
            place = made.setdefault(group, {})
            if isinstance(place, dict):
                made[group] = {**fields, **place}
    return made


def fit_findings(parts: list[Part], build: dict) -> list[dict]:
    """What does not go together among the parts of a build: what does not meet, and what they contradict each other in."""
    found = [
        _finding(
            one,
            other,
            key,
            f"{one.title}: fits {_word(key)} {_listed(one.fits[key])}, and {_inside(other.title)} has {_word(other.has[key])}.",
        )
        for one, other, key in misfits(parts)
    ]
    return found + [
        _finding(
            one,
            other,
            path,
            f"{one.title} and {_inside(other.title)} say different things of {path}; state it in the build.",
        )
        for one, other, path in disagreements(parts, stated_fields(build))
    ]


def _finding(one: Part, other: Part, over: str, text: str) -> dict:
    return {"parts": [one.number, other.number], "over": over, "text": text}


def _listed(words: tuple[str, ...]) -> str:
    return " or ".join(_word(word) for word in words)


def _word(word: str) -> str:
    return word.replace("_", " ")


def _inside(title: str) -> str:
    return title[:1].lower() + title[1:]
