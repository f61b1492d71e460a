"""One part of the catalog, and the digest that tells when it was changed."""

from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

import orjson


@dataclass(frozen=True, slots=True)
class Part:
    """A part as it is sold.

    `gives` holds the fields of a build spec it fills, `fits` what it has to meet, `has` what it offers.
    A kit, or an engine as delivered, `fills` other slots as well: by slot the fields of `gives` that come
    from there.
    """

    number: str
    slot: str
    maker: str
    title: str
    price: int
    stock: int
    gives: dict[str, dict[str, object]]
    fits: dict[str, tuple[str, ...]]
    has: dict[str, str]
    fills: dict[str, dict[str, dict[str, object]]] = field(default_factory=dict)
    as_delivered: bool = False
    """Whether it is what the car came with: anything bought later takes its place."""

    @property
    def rank(self) -> int:
        """Whose word counts: what was delivered least, then a kit, then a part bought by itself."""
        return 0 if self.as_delivered else 1 if self.fills else 2

    def digest(self) -> str:
        """sha256 of all that is said of the part but its price and stock, which change every day."""
        lasting = [
            self.number,
            self.slot,
            self.maker,
            self.title,
            self.gives,
            {key: sorted(words) for key, words in self.fits.items()},
            self.has,
            *([self.fills] if self.fills else []),
        ]
        return sha256(orjson.dumps(lasting, option=orjson.OPT_SORT_KEYS)).hexdigest()

    def row(self) -> dict[str, Any]:
        """The part as plain values: what a database and an answer hold."""
        return {
            "number": self.number,
            "slot": self.slot,
            "maker": self.maker,
            "title": self.title,
            "price": self.price,
            "stock": self.stock,
            "gives": self.gives,
            "fits": {key: list(words) for key, words in self.fits.items()},
            "has": self.has,
            "fills": self.fills,
        }
