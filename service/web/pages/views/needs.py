"""What you need: the shopping list for the target."""

from flask import Response

from service.web.pages.asked import asked
from service.web.pages.render import page

REQUIREMENTS = "/v1/requirements"


def show_needs() -> Response:
    """Each part with its size, what the build has, and what the catalog offers."""
    about = asked()
    answer = about.answer(REQUIREMENTS)
    short = [entry for entry in answer["requirements"] if entry.get("verdict") in ("fail", "warn")]
    rest = [entry for entry in answer["requirements"] if entry not in short]
    return page("needs.html", about, here="/needs", answer=answer, short=short, rest=rest)
