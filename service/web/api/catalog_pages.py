"""The catalog as a client may read it."""

from collections.abc import Mapping
from itertools import groupby
from typing import Any

from service.catalog.catalog import Catalog
from service.catalog.part import Part
from service.rulebook.slot import Slot
from service.web.api.listing import ListQuery


def parts(catalog: Catalog, slots: Mapping[str, Slot], query: ListQuery) -> dict[str, Any]:
    """The parts asked for by slot, cheapest first."""
    all_parts = [part for slot in slots for part in catalog.slots.get(slot, ())]
    lines = {part.number: _line(catalog, part) for part in all_parts}
    page = query.page(list(lines.values()), slot=lambda line: catalog.parts[line["number"]].slot)
    by_slot = groupby(page.entries, key=lambda line: catalog.parts[line["number"]].slot)
    listed = [{"slot": slot, "label": slots[slot].label, "parts": list(lines)} for slot, lines in by_slot]
    return page._replace(entries=listed).told("slots") | {"catalog": catalog.identity}


def part(catalog: Catalog, number: str) -> dict[str, Any]:
    """One part whole."""
    part = catalog.parts[number]
    return _line(catalog, part) | {
        "slot": part.slot,
        "maker": part.maker,
        "gives": part.gives,
        **({"fills": part.fills} if part.fills else {}),
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
