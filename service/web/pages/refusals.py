"""What a person sees where a program would get a problem: the form with its faults, or what to do."""

from urllib.parse import urlencode

from flask import Response, g, request
from werkzeug import Response as AnyResponse
from werkzeug.utils import redirect

from service.errors import SpecError, TooMuchWorkError
from service.web.api.problem_codes import PROBLEMS
from service.web.api.problems import ProblemError
from service.web.api.state import state_of_app
from service.web.pages.asked import Asked, asked, units_asked
from service.web.pages.render import plain_page
from service.web.pages.views.have import form_page


def problem_page(error: ProblemError) -> AnyResponse:
    """A refusal in words; whoever has no token is asked for one."""
    g.record.refused = {"code": error.code}
    if error.status == 401:
        wanted = request.full_path if request.method == "GET" else "/"
        return redirect(f"/sign-in?{urlencode({'next': wanted})}", 303)
    return _refused(error.status, error.code, f"{error.detail} {error.fix}".strip())


def faults_page(error: SpecError) -> Response:
    """The form, each fault beside its field."""
    g.record.refused = {"code": "spec-faults", "faults": sorted({fault.code for fault in error.faults})}
    try:
        about = asked()
    except SpecError:
        about = Asked(state_of_app(), {}, units_asked())
    return form_page(about, error)


def too_much_page(error: TooMuchWorkError) -> Response:
    """Over a cap of work."""
    return _refused(422, "too-much-work", f"The page asks for {error.asked}; the most is {error.cap}.")


def _refused(status: int, code: str, detail: str) -> Response:
    return plain_page("refused.html", status, title=PROBLEMS[code].title, detail=detail, code=code)
