"""A larger catalog: copies of the fixed one with every number moved a little and the prices by cents."""

import random
import re
from dataclasses import replace

from service.catalog.catalog import Catalog
from service.catalog.part import Part

# A number in front of its unit; counts are no texts and stay.
_NUMBER = re.compile(r"^\d+(?:\.\d+)?")
MOST_MOVED, CENTS = 0.05, 99


def grown(catalog: Catalog, times: int, seed: int = 1) -> Catalog:
    """The catalog and `times` - 1 moved copies of each part; the same for the same seed."""
    source = random.Random(seed)
    parts = dict(catalog.parts)
    for copy in range(1, times):
        for part in catalog.parts.values():
            moved = _moved(part, f"{part.number}-{copy}", source)
            parts[moved.number] = moved
    return Catalog(f"{catalog.version}-times-{times}", catalog.currency, parts)


def _moved(part: Part, number: str, source: random.Random) -> Part:
    gives: dict[str, dict[str, object]] = {
        group: {name: _value(value, source) for name, value in fields.items()}
        for group, fields in part.gives.items()
    }
    return replace(part, number=number, gives=gives, price=part.price + source.randint(-CENTS, CENTS))


def _value(value: object, source: random.Random) -> object:
    if not isinstance(value, str):
        return value
    return _NUMBER.sub(
        lambda found: f"{float(found[0]) * source.uniform(1 - MOST_MOVED, 1 + MOST_MOVED):.5g}", value, 1
    )
