"""Fields that several requests have: the units of the answer, and what has to be loaded."""

from collections.abc import Mapping

from service.web.api.requests.plain_fields import Digest, Word
from service.web.api.requests.request_field import RequestField

Fields = dict[str, RequestField]
UNITS = ("metric", "us")
ALLOWED = ("pass", "warn")


def units(about: str | None = None) -> Word:
    """In which units the answer is."""
    return Word(UNITS, default="metric", about=about)


def pins() -> Mapping[str, RequestField]:
    """Digests of the rulebook and the catalog to be used."""
    return {
        "rulebook": Digest("rulebook", about="Digest of the rulebook to be used; 412 if another is loaded."),
        "catalog": Digest(
            "catalog", about="Digest of the catalog to be used; 412 if another is loaded, or none."
        ),
    }
