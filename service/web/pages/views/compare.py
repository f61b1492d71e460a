"""Two builds side by side: change what differs, or paste the address of the other."""

from dataclasses import replace
from urllib.parse import parse_qs, urlsplit

from flask import Response, request
from werkzeug import Response as AnyResponse
from werkzeug.utils import redirect

from service.errors import SpecError
from service.web.pages.address import build_of
from service.web.pages.asked import Asked, asked
from service.web.pages.build import flat, for_request, with_typed
from service.web.pages.fields import Form
from service.web.pages.render import page
from service.web.pages.sent import sent_form

COMPARISONS = "/v1/build-comparisons"


def show_comparison() -> Response:
    """Both builds, where there are two; else the form that makes the second."""
    about = asked()
    other = replace(about, build=flat(about.state.rulebook, build_of(request.args.get("c", ""))))
    if not other.build:
        return _form(about, about, None)
    builds = [{"build": for_request(build.build)} for build in (about, other)]
    try:
        answer = about.post(COMPARISONS, {"builds": builds})
    except SpecError as error:
        return _form(about, other, error)
    return page(
        "compare.html", about, here="/compare", other=other, answer=answer, form=Form(other), faults=[]
    )


def take_second() -> AnyResponse:
    """The second build goes into the address beside the first."""
    typed = sent_form()
    about = asked()
    pasted = parse_qs(urlsplit(typed.get("pasted", "").strip()).query).get("b")
    build = build_of(pasted[0]) if pasted else with_typed(about.state.rulebook, about.build, typed)
    other = replace(about, build=flat(about.state.rulebook, build))
    return redirect(about.address("/compare", c=other.code), 303)


def _form(about: Asked, other: Asked, error: SpecError | None) -> Response:
    """The form for the second build; faults of the first one stand beside its fields as well."""
    faults = [
        fault._replace(pointer=fault.pointer.replace("/builds/0", "/build").replace("/builds/1", "/build"))
        for fault in (error.faults if error else ())
    ]
    words = {"other": other, "answer": None, "form": Form(other, faults), "faults": faults}
    return page("compare.html", about, 422 if error else 200, here="/compare", **words)
