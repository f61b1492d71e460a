"""What a value is: its dimension by base units, and how a pressure or temperature is counted."""

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from service.units.units import DIMENSIONS

Base = tuple[tuple[str, float], ...]
"""Base dimension -> power, in the order of the names."""


@dataclass(frozen=True)
class Kind:
    """What a value is: its dimension by base units, and for pressures and temperatures how it is read."""

    base: Base
    readings: frozenset[str] | None = None
    curve: tuple["Kind", "Kind"] | None = None
    shape: str = "number"

    @property
    def pure(self) -> bool:
        return not self.base


# Names of SI units by base dimensions: SI Brochure (BIPM, 9th edition, 2019), tables 2 and 4.
_POWERS: dict[str, dict[str, int]] = {
    "dimensionless": {},
    "radian": {},
    "octane_number": {"[octane]": 1},
    "meter": {"[length]": 1},
    "kilogram": {"[mass]": 1},
    "second": {"[time]": 1},
    "ampere": {"[current]": 1},
    "kelvin": {"[temperature]": 1},
    "newton": {"[mass]": 1, "[length]": 1, "[time]": -2},
    "pascal": {"[mass]": 1, "[length]": -1, "[time]": -2},
    "joule": {"[mass]": 1, "[length]": 2, "[time]": -2},
    "watt": {"[mass]": 1, "[length]": 2, "[time]": -3},
    "volt": {"[mass]": 1, "[length]": 2, "[time]": -3, "[current]": -1},
}
_FACTOR = re.compile(r"(/ )?([a-z_]+)(?: \*\* ([0-9]))?")


@cache
def base_of(dimension: str) -> Base:
    """The base dimensions of a named dimension: power -> mass 1, length 2, time -3."""
    powers: Counter[str] = Counter()
    for divided, unit, power in _FACTOR.findall(DIMENSIONS[dimension].si):
        for name, count in _POWERS[unit].items():
            powers[name] += (-1 if divided else 1) * int(power or 1) * count
    return _sorted(powers)


def kind_of(dimension: str, reading: str | None = None) -> Kind:
    """The kind of a declared name; a pressure or temperature without a declared reading is a difference or a
    level.
    """
    if dimension == "temperature_difference":
        return Kind(base_of("temperature"), frozenset({"difference"}))
    if dimension == "temperature":
        return Kind(base_of("temperature"), frozenset({reading or "level"}))
    if dimension == "pressure":
        return Kind(base_of("pressure"), frozenset({reading}) if reading else None)
    return Kind(base_of(dimension))


def same(result: Kind, declared: Kind) -> str | None:
    """None when a result may stand where `declared` was promised, else the sentence that says why not."""
    if result.base != declared.base:
        return f"gives {describe(result)}, declared {describe(declared)}."
    if declared.readings and result.readings and not result.readings & declared.readings:
        return f"gives {describe(result)}, declared {describe(declared)}."
    return None


# Dimensions that another of the same base units speaks for in messages.
_SECOND_NAMES = ("temperature_difference", "stress", "heat_flow", "distance", "count", "angle")


def describe(kind: Kind) -> str:
    """A kind in words: 'a gauge pressure', 'a power', 'mass^1 * time^-2'."""
    for name, dimension in DIMENSIONS.items():
        if name not in _SECOND_NAMES and base_of(name) == kind.base:
            word = dimension.phrase.partition(" ")[2]
            read = {"level": word, "difference": f"{word} difference"}
            words = " or ".join(
                read.get(reading, f"{reading} {word}") for reading in sorted(kind.readings or ("level",))
            )
            return f"{'an' if words[0] in 'aeio' else 'a'} {words}"
    return " * ".join(f"{name.strip('[]')}^{power:g}" for name, power in kind.base)


def product(first: Base, second: Base, sign: int) -> Base:
    """The base dimensions of a product, or of a quotient where the sign is -1."""
    powers = dict(first)
    for name, power in second:
        powers[name] = powers.get(name, 0) + sign * power
    return _sorted(powers)


def scaled(base: Base, factor: float) -> Base:
    """The base dimensions of a power."""
    return _sorted({name: power * factor for name, power in base})


def _sorted(powers: Mapping[str, float]) -> Base:
    return tuple(sorted((str(name), float(power)) for name, power in powers.items() if power))
