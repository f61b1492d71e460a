"""A part as a file writes it, all of it text, and the same part in plain values."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from service.catalog.part import Part
from service.errors import CatalogError, Problem

# What every part has, whatever it gives to a build.
OWN_KEYS = ("number", "maker", "title", "price", "stock")
_PRICE = re.compile(r"[0-9]{1,9}(\.[0-9]{2})?")
_COUNT = re.compile(r"[0-9]{1,9}")


class Place(NamedTuple):
    """Where a value stands: the file, the line or row, and in a table the column."""

    file: str
    line: int
    column: str = ""

    def error(self, message: str, fix: str) -> CatalogError:
        """A mistake at this place."""
        return CatalogError([Problem(self.file, self.line, f"{message}{self.column}.", fix)])


@dataclass(frozen=True, slots=True)
class WrittenPart:
    """The texts of one part, and where each of its own keys stands."""

    slot: str
    row: Mapping[str, str]
    gives: Mapping[str, object]
    fits: dict[str, tuple[str, ...]]
    has: dict[str, str]
    place_of: Callable[[str], Place]
    fills: Mapping[str, Mapping[str, object]] = field(default_factory=dict)

    def read(self) -> Part:
        """The part, or CatalogError with the first thing that is wrong with its own keys."""
        for key in OWN_KEYS:
            if not self.row[key]:
                fix = "Every part has number, maker, title, price and stock."
                raise self.place_of(key).error(f"lacks `{key}`", fix)
        self._refuse_unless("price", _PRICE, "an amount such as 129.00")
        self._refuse_unless("stock", _COUNT, "a whole number")
        whole, _, hundredths = self.row["price"].partition(".")
        return Part(
            self.row["number"],
            self.slot,
            self.row["maker"],
            self.row["title"],
            int(whole) * 100 + int(hundredths or 0),
            int(self.row["stock"]),
            _by_group(
                {
                    **self.gives,
                    **{path: value for fields in self.fills.values() for path, value in fields.items()},
                }
            ),
            self.fits,
            self.has,
            {slot: _by_group(fields) for slot, fields in self.fills.items()},
        )

    def _refuse_unless(self, key: str, form: re.Pattern[str], wanted: str) -> None:
        if not form.fullmatch(self.row[key]):
            raise self.place_of(key).error(f"has no `{key}` that can be read", f"Write {wanted}.")


def _by_group(gives: Mapping[str, object]) -> dict[str, dict[str, object]]:
    build: dict[str, dict[str, object]] = {}
    for path, value in gives.items():
        group, _, name = path.rpartition(".")
        build.setdefault(group, {})[name] = _plain(value)
    return build


def _plain(value: object) -> object:
    """A cell as a client's JSON would hold it: counts are numbers, all else is text or a list of points."""
    if isinstance(value, dict):
        return {str(key): _plain(entry) for key, entry in value.items()}
    if isinstance(value, list):
        return [_plain(entry) for entry in value]
    text = str(value)
    return int(text) if _COUNT.fullmatch(text) else text
