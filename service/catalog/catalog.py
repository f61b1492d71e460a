"""The loaded catalog: immutable, with one version and one digest over all parts."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256
from itertools import combinations

from service.catalog.part import Part


@dataclass(frozen=True)
class Catalog:
    """Parts by number; prices are whole hundredths of the currency."""

    version: str
    currency: str
    parts: dict[str, Part]

    @cached_property
    def digest(self) -> str:
        """Over everything an answer can hold: parts, prices and stock."""
        seen = sha256(f"{self.version} {self.currency}".encode())
        for number in sorted(self.parts):
            part = self.parts[number]
            seen.update(f"{part.digest()} {part.price} {part.stock}".encode())
        return f"sha256:{seen.hexdigest()}"

    @cached_property
    def identity(self) -> dict:
        return {"version": self.version, "digest": self.digest}

    @cached_property
    def slots(self) -> dict[str, list[Part]]:
        """The parts of each slot, cheapest first."""
        slots: dict[str, list[Part]] = {}
        for part in sorted(self.parts.values(), key=lambda one: (one.price, one.number)):
            slots.setdefault(part.slot, []).append(part)
        return slots

    def money(self, price: int) -> str:
        return f"{price / 100:.2f} {self.currency}"


def misfits(parts: Iterable[Part]) -> list[tuple[Part, Part, str]]:
    """Pairs that do not go together: one offers something that the other does not fit, and what that is."""
    parts = list(parts)
    return [
        (one, other, key)
        for one in parts
        for key, words in one.fits.items()
        for other in parts
        if other is not one and key in other.has and other.has[key] not in words
    ]


def disagreements(
    parts: Iterable[Part], stated: frozenset[str] = frozenset()
) -> list[tuple[Part, Part, str]]:
    """Pairs that say different things of one field of the build; not of a field that the build states itself."""
    return [
        (one, other, f"{group}.{name}")
        for one, other in combinations(list(parts), 2)
        for group, fields in one.gives.items()
        for name, value in fields.items()
        if name in other.gives.get(group, {})
        and other.gives[group][name] != value
        and f"{group}.{name}" not in stated
    ]


def go_together(parts: Iterable[Part], stated: frozenset[str]) -> bool:
    """Whether parts meet each other and do not contradict each other."""
    parts = list(parts)
    return not misfits(parts) and not disagreements(parts, stated)


def stated_fields(build: dict) -> frozenset[str]:
    """The fields that a build states itself, by path."""
    return frozenset(
        f"{group}.{name}"
        for group, fields in build.items()
        if group != "parts" and isinstance(fields, dict)
        for name in fields
    )
