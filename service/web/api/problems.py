"""Problem details (RFC 9457) for everything that is not 2xx.

Never HTML, never a traceback, never a client's text in prose.
"""

import logging
from collections.abc import Mapping
from http import HTTPStatus
from types import MappingProxyType
from typing import Any

import orjson
from flask import Flask, Response, g
from werkzeug.exceptions import HTTPException

from service.errors import NotInstalledError, PinError, SpecError, SpecFault, TooMuchWorkError
from service.web.api.problem_codes import PROBLEMS, RETRY_AFTER

MEDIA_TYPE = "application/problem+json"
# What the framework itself refuses.
CODES = {404: "not-found", 405: "method-not-allowed", 413: "body-too-large", 500: "internal"}

_NOTHING_MORE: Mapping[str, str] = MappingProxyType({})

# Where a client reads what is different.
_CHANGES = {"rulebook": "rules/CHANGES.md, openapi/CHANGES.md", "catalog": "GET /v1/parts"}

log = logging.getLogger(__name__)


class ProblemError(Exception):
    """A request that cannot be answered, with what is wrong and what to do."""

    # Sent along with the problem.
    headers: Mapping[str, str] = _NOTHING_MORE

    def __init__(self, status: int, code: str, detail: str, fix: str = "", suggestion: str | None = None):
        self.status, self.code, self.detail, self.fix = status, code, detail, fix
        self.suggestion = suggestion
        super().__init__(detail)


def problem(
    status: int,
    code: str,
    detail: str,
    faults: list[SpecFault] | None = None,
    more: Mapping[str, str] = _NOTHING_MORE,
) -> Response:
    """One problem details response."""
    body: dict[str, Any] = {
        "type": f"/problems/{code}",
        "title": PROBLEMS[code].title,
        "status": status,
        "code": code,
        "detail": detail,
        **more,
    }
    if faults is not None:
        body["errors"] = [fault.told() for fault in faults]
    # For the log, which names codes and never what the client wrote.
    g.record.refused = {"code": code} | (
        {"faults": sorted({fault.code for fault in faults})} if faults else {}
    )
    return Response(orjson.dumps(body), status=status, mimetype=MEDIA_TYPE)


def register_problem_handlers(app: Flask) -> None:
    """One handler for each branch of the error tree, one for HTTP errors, one for what nobody foresaw."""
    # A redirect from // to / is answered past every handler, as a page of HTML.
    app.url_map.merge_slashes = False
    app.after_request(_no_type_without_body)
    app.register_error_handler(ProblemError, _refused)
    app.register_error_handler(SpecError, _faulty)
    app.register_error_handler(TooMuchWorkError, _too_much_work)
    app.register_error_handler(PinError, _pinned_elsewhere)
    app.register_error_handler(NotInstalledError, _not_installed)
    app.register_error_handler(HTTPException, _http_error)
    app.register_error_handler(MemoryError, _no_memory)
    app.register_error_handler(Exception, _unforeseen)


def _no_type_without_body(response: Response) -> Response:
    # The answer to OPTIONS would say text/html of nothing.
    if response.calculate_content_length() == 0:
        del response.headers["Content-Type"]
    return response


def _refused(error: ProblemError) -> Response:
    more = {"suggestion": error.suggestion} if error.suggestion else {}
    response = problem(error.status, error.code, f"{error.detail} {error.fix}".strip(), more=more)
    response.headers.extend(error.headers)
    return response


def _faulty(error: SpecError) -> Response:
    count = len(error.faults)
    detail = (
        f"The request has {count} fault{'' if count == 1 else 's'}; nothing was evaluated. "
        f"Fix {'it' if count == 1 else 'them'} and send the request again."
    )
    return problem(422, "spec-faults", detail, error.faults)


def _too_much_work(error: TooMuchWorkError) -> Response:
    return problem(422, "too-much-work", f"The request asks for {error.asked}; the most is {error.cap}.")


def _not_installed(error: NotInstalledError) -> Response:
    return problem(501, "not-installed", str(error))


def _pinned_elsewhere(error: PinError) -> Response:
    loaded = {"loaded": error.loaded} if error.loaded else {}
    return problem(
        412,
        f"{error.pinned}-not-loaded",
        f"The {error.pinned} pinned in the request is not the one loaded here"
        f"{'' if loaded else ': there is none'}. "
        f"Leave the pin out, or look at what changed ({_CHANGES[error.pinned]}) and pin what is loaded.",
        more=loaded,
    )


def _http_error(error: HTTPException) -> Response:
    status = error.code or 500
    code = CODES.get(status, "http-error")
    fix = " GET /openapi.json lists all calls." if status in (404, 405) else ""
    what = f": {HTTPStatus(status).phrase}" if code == "http-error" else ""
    response = problem(status, code, f"{PROBLEMS[code].title}{what}.{fix}")
    for name, value in error.get_headers():
        if name.lower() == "allow":
            response.headers[name] = value
    return response


def _no_memory(error: MemoryError) -> Response:
    log.error("no memory for a request, trace %s", g.record.trace)
    response = problem(
        503, "busy", "There is too little memory for this call now. Every call is safe to repeat."
    )
    response.headers["Retry-After"] = RETRY_AFTER
    return response


def _unforeseen(error: Exception) -> Response:
    log.error("unforeseen error, trace %s", g.record.trace, exc_info=error)
    return problem(
        500,
        "internal",
        "The service failed on this request; the fault is on its side and was logged under the trace id.",
        more={"trace_id": g.record.trace},
    )
