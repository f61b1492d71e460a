"""A sheet as PDF, by an extra that the service itself does not need."""

import logging
from importlib.util import find_spec
from urllib.parse import urlsplit

from service.web.api.lane import LONG_CALLS
from service.web.api.problems import ProblemError
from service.web.pages.static_files import NAMES, static_file

# Of the pages while they become paper; nothing is ever asked of it.
_HERE = "http://sheet.invalid/"


def pdf_of(page: str) -> bytes:
    """The page printed; ProblemError where the extra is not installed."""
    if find_spec("weasyprint") is None:
        raise ProblemError(
            501,
            "no-pdf",
            "This service has no PDFs: the extra `pdf` is not installed.",
            "Run pip install 'engine-build-rules[pdf]' where the service runs, or print the page itself.",
        )
    # Heavy, and for this alone.
    from weasyprint import HTML  # type: ignore[import-untyped]  # the library carries no types
    from weasyprint.urls import (  # type: ignore[import-untyped]  # the library carries no types
        URLFetcher,
        URLFetcherResponse,
    )

    class OwnFiles(URLFetcher):  # type: ignore[misc]  # the library carries no types
        """Gives the files of the pages, and asks nobody."""

        def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:
            name = urlsplit(url).path.removeprefix("/static/")
            if not url.startswith(_HERE) or name not in NAMES:
                raise ValueError("a sheet loads its own files only")
            file = static_file(name)
            return URLFetcherResponse(url, file.content, {"Content-Type": file.media_type})

    # What it says of rules for screens is nobody's to fix.
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    # Half a second of a whole core, as the long calls of the API take.
    with LONG_CALLS.place():
        document: bytes = HTML(string=page, base_url=_HERE, url_fetcher=OwnFiles()).write_pdf()
    return document
