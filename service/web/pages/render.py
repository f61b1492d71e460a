"""Templates become pages; they are compiled when first asked for, so the service starts no later for them."""

from functools import cache
from pathlib import Path
from typing import Any

from flask import Response, request
from jinja2 import Environment, FileSystemLoader

from service.version import VERSION
from service.web.access.cookie import NAME
from service.web.pages.asked import Asked
from service.web.pages.static_files import address_of

FOLDER = Path(__file__).parent / "templates"
# A script asks, to put the page in place of the one that is there.
IN_PLACE = "HX-Request"
# The screens about a build, in the order in which they are walked.
SCREENS = (
    ("/", "What you have"),
    ("/answer", "The answer"),
    ("/needs", "What you need"),
    ("/power", "What it makes"),
    ("/parts", "Parts"),
    ("/compare", "Two builds"),
    ("/dyno", "The dyno"),
    ("/sheet", "Build sheet"),
)


@cache
def environment() -> Environment:
    """The templates; whatever a client wrote becomes text, never markup."""
    templates = Environment(
        loader=FileSystemLoader(FOLDER),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    templates.globals.update(static=address_of, version=VERSION, screens=SCREENS)
    return templates


def text_of_page(template: str, **words: Any) -> str:
    """A page as text."""
    of_request = {"signed_in": NAME in request.cookies, "in_place": IN_PLACE in request.headers}
    return environment().get_template(template).render(**of_request, **words)


def page(template: str, asked: Asked, status: int = 200, **words: Any) -> Response:
    """A page about a build."""
    response = Response(text_of_page(template, asked=asked, **words), status, mimetype="text/html")
    # The next customer at this counter is not shown it, and going back does not ask again.
    response.headers["Cache-Control"] = "private, no-cache"
    response.vary.add(IN_PLACE)
    return response


def plain_page(template: str, status: int = 200, **words: Any) -> Response:
    """A page that is about no build."""
    response = Response(text_of_page(template, asked=None, **words), status, mimetype="text/html")
    response.headers["Cache-Control"] = "private, no-cache"
    return response
