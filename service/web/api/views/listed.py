"""A name in a path is one of those that a list shows, or the answer is 404 with the nearest."""

from collections.abc import Collection

from service.catalog.expand import MOST_COMPARED
from service.units.choice_reading import nearest
from service.web.api.problems import ProblemError


def require_listed(name: str, known: Collection[str], what: str, listed_at: str) -> None:
    """ProblemError 404 where a name is not known."""
    if name not in known:
        raise ProblemError(
            404,
            "not-found",
            f"There is no such {what}.",
            f"GET {listed_at} lists them.",
            nearest(name[:64], known) if len(known) <= MOST_COMPARED else None,
        )
