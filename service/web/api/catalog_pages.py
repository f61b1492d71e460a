"""The catalog as a client may read it."""

from itertools import groupby
from typing import Any

from service.catalog.catalog import Catalog
from service.catalog.part import Part
from service.catalog.slots import SLOTS
from service.web.api.listing import ListQuery


def parts(catalog: Catalog, query: ListQuery) -> dict[str, Any]:
    """The parts asked for by slot, cheapest first."""
    all_parts = [part for slot in SLOTS for part in catalog.slots.get(slot, ())]
    lines = {part.number: _line(catalog, part) for part in all_parts}
    page = query.page(list(lines.values()), slot=lambda line: catalog.parts[line["number"]].slot)
    by_slot = groupby(page.entries, key=lambda line: catalog.parts[line["number"]].slot)
    slots = [{"slot": slot, "label": SLOTS[slot][0], "parts": list(lines)} for slot, lines in by_slot]
    return page._replace(entries=slots).told("slots") | {"catalog": catalog.identity}


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
