"""What the codes of problems and faults mean; the `type` of a problem is the address of its page."""

from service.web.api.problem_codes import FAULTS, PROBLEMS
from service.web.api.state import State
from service.web.api.views.calls import Answer, Calls, Page, Tag
from service.web.api.views.listed import require_listed

# Told to anybody: whoever was refused for want of a token may read why.
CALLS = Calls(Tag("problems", "The codes of problems and faults, and what they mean."))


@CALLS.page(
    Page(
        "/problems",
        "ProblemCodes",
        "Call it for the codes that a client may meet. Later versions may have more. Needs no token.",
        digest_of=None,
        for_anybody=True,
    )
)
def list_problems(state: State) -> Answer:
    """Every code of a problem and of a fault."""
    faults = [{"code": code, "meaning": meaning} for code, meaning in FAULTS.items()]
    return {"problems": [_problem(code) for code in PROBLEMS], "faults": faults}


@CALLS.page(
    Page(
        "/problems/<code>",
        "CodeMeaning",
        "The `type` of a problem is this page. The codes of faults have one too. Needs no token.",
        digest_of=None,
        for_anybody=True,
    )
)
def get_problem(state: State, code: str) -> Answer:
    """What one code means."""
    require_listed(code, {**PROBLEMS, **FAULTS}, "code", "/problems")
    return _problem(code) if code in PROBLEMS else {"code": code, "meaning": FAULTS[code]}


def _problem(code: str) -> Answer:
    status, title, meaning = PROBLEMS[code]
    return {"code": code, "status": status, "title": title, "meaning": meaning}
