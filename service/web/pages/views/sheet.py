"""Sheets of paper: to be printed by the browser, or as PDF."""

from flask import Response, request

from service.web.pages.asked import asked
from service.web.pages.pdf import pdf_of
from service.web.pages.render import page, text_of_page
from service.web.pages.sheets import KINDS, content_of


def show_sheet() -> Response:
    """The sheet of a kind, `?as=pdf` as PDF."""
    about = asked()
    if not about.build:
        return page("no_sheet.html", about, here="/sheet")
    kind = KINDS.get(request.args.get("kind", ""), KINDS["build"])
    pulls = request.args.get("pulls", "")
    words = {"here": "/sheet", "pulls": pulls, **content_of(kind, about, pulls)}
    if request.args.get("as") != "pdf":
        return page(kind.template, about, **words)
    response = Response(pdf_of(text_of_page(kind.template, asked=about, **words)), mimetype="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{kind.title.lower().replace(" ", "-")}.pdf"'
    response.headers["Cache-Control"] = "private, no-cache"
    return response
