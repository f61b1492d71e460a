"""The contract to read and to try."""

from flask import Response

from service.web.pages.render import plain_page


def show_docs() -> Response:
    """A page of its own: the reader is heavy, and no other page loads it."""
    return plain_page("docs.html")
