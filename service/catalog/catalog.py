"""The loaded catalog: immutable, with one version and one digest over all parts."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from hashlib import sha256
from itertools import combinations
from typing import Any, NamedTuple

from service.catalog.part import Part
from service.kept import Kept


@dataclass(frozen=True)
class Catalog:
    """Parts by number; prices are whole hundredths of the currency."""

    version: str
    currency: str
    parts: dict[str, Part]
    kept: Kept = field(default_factory=Kept, repr=False, compare=False)

    @cached_property
    def digest(self) -> str:
        """Over everything an answer can hold: parts, prices and stock."""
        digest = sha256(f"{self.version} {self.currency}".encode())
        for number in sorted(self.parts):
            part = self.parts[number]
            digest.update(f"{part.digest()} {part.price} {part.stock}".encode())
        return f"sha256:{digest.hexdigest()}"

    @cached_property
    def identity(self) -> dict[str, str]:
        """What an answer says of the catalog."""
        return {"version": self.version, "digest": self.digest}

    @cached_property
    def slots(self) -> dict[str, list[Part]]:
        """The parts of each slot, cheapest first."""
        slots: dict[str, list[Part]] = {}
        for part in sorted(self.parts.values(), key=lambda part: (part.price, part.number)):
            slots.setdefault(part.slot, []).append(part)
        return slots

    def money(self, price: int) -> str:
        """A price in words."""
        return f"{price / 100:.2f} {self.currency}"


class Clash(NamedTuple):
    """Two parts that do not go together, and over what: a property, or a field of the build."""

    part: Part
    other: Part
    over: str


def misfits(parts: Iterable[Part]) -> list[Clash]:
    """Pairs that do not meet: one offers something that the other does not fit."""
    parts = list(parts)
    return [
        Clash(part, other, key)
        for part in parts
        for key, words in part.fits.items()
        for other in parts
        if other is not part and key in other.has and other.has[key] not in words
    ]


def disagreements(parts: Iterable[Part], stated: frozenset[str] = frozenset()) -> list[Clash]:
    """Pairs that say different things of one field of the build; not of a field the build states itself, nor
    where one takes the place of the other.
    """
    return [
        Clash(part, other, f"{group}.{name}")
        for part, other in combinations(list(parts), 2)
        if part.rank == other.rank
        for group, fields in part.gives.items()
        for name, value in fields.items()
        if name in other.gives.get(group, {})
        and other.gives[group][name] != value
        and f"{group}.{name}" not in stated
    ]


def go_together(parts: Iterable[Part], stated: frozenset[str]) -> bool:
    """Whether parts meet each other and do not contradict each other."""
    parts = list(parts)
    return not misfits(parts) and not disagreements(parts, stated)


def stated_fields(build: dict[str, Any]) -> frozenset[str]:
    """The fields that a build states itself, by path."""
    return frozenset(
        f"{group}.{name}"
        for group, fields in build.items()
        if group != "parts" and isinstance(fields, dict)
        for name in fields
    )
