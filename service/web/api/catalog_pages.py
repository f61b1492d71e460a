"""The catalog as a client may read it."""

from typing import Any

from service.catalog.catalog import Catalog
from service.catalog.part import Part
from service.catalog.slots import SLOTS


def parts(catalog: Catalog) -> dict[str, Any]:
    """All parts by slot, cheapest first."""
    slots = [
        {
            "slot": slot,
            "label": SLOTS[slot][0],
            "parts": [_line(catalog, part) for part in catalog.slots[slot]],
        }
        for slot in SLOTS
        if slot in catalog.slots
    ]
    return {"slots": slots, "catalog": catalog.identity}


def part(catalog: Catalog, number: str) -> dict[str, Any]:
    """One part whole."""
    part = catalog.parts[number]
    return _line(catalog, part) | {
        "slot": part.slot,
        "maker": part.maker,
        "gives": part.gives,
        "fits": {key: list(words) for key, words in part.fits.items()},
        "has": part.has,
        "catalog": catalog.identity,
    }


def _line(catalog: Catalog, part: Part) -> dict[str, Any]:
    return {
        "number": part.number,
        "title": part.title,
        "price": part.price / 100,
        "text": catalog.money(part.price),
        "stock": part.stock,
    }
