"""Say what you have: the form, and where it goes."""

from flask import Response as Page
from werkzeug import Response
from werkzeug.utils import redirect

from service.errors import SpecError
from service.web.pages.asked import Asked, asked
from service.web.pages.build import with_typed
from service.web.pages.fields import Form
from service.web.pages.render import page
from service.web.pages.sent import sent_form

# Where a form leads to: the answer, or the screen that asked.
ANSWER, THEN = "/answer", ("/answer", "/power")


def show_form() -> Page:
    """The fields, filled in with what the address says."""
    return form_page(asked())


def take_form() -> Response:
    """What was typed goes into the address of the answer; the API reads it there."""
    typed = sent_form()
    before = asked()
    after = Asked(before.state, with_typed(before.state.rulebook, before.build, typed), before.units)
    then = typed.get("then", "")
    return redirect(after.address(then if then in THEN else ANSWER), 303)


def form_page(about: Asked, error: SpecError | None = None) -> Page:
    """The form, with each fault beside its field."""
    faults = error.faults if error else []
    return page("have.html", about, 422 if faults else 200, here="/", form=Form(about, faults), faults=faults)
