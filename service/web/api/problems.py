"""Problem details (RFC 9457) for everything that is not 2xx. Never HTML, never a traceback, never a client's text in prose."""

import logging

import orjson
from flask import Flask, Response, g
from werkzeug.exceptions import HTTPException

from service.errors import PinError, SpecError, SpecFault, TooMuchWork

MEDIA_TYPE = "application/problem+json"
TITLES = {
    400: "The body is not JSON",
    401: "Not authorised",
    403: "Not allowed",
    404: "There is nothing here",
    405: "This method is not served here",
    411: "A length is required",
    412: "What the request pins is not loaded",
    413: "The body is too large",
    415: "The body is not JSON",
    422: "The request is JSON but not a spec the service can read",
    500: "The service failed",
}
CODES = {404: "not-found", 405: "method-not-allowed", 413: "body-too-large", 415: "not-json", 500: "internal"}

log = logging.getLogger(__name__)


class ProblemError(Exception):
    """A request that cannot be answered, with what is wrong and what to do."""

    def __init__(
        self,
        status: int,
        code: str,
        detail: str,
        mend: str = "",
        suggestion: str | None = None,
        headers: dict[str, str] | None = None,
    ):
        self.status, self.code, self.detail, self.mend, self.suggestion, self.headers = (
            status,
            code,
            detail,
            mend,
            suggestion,
            headers or {},
        )
        super().__init__(detail)


def problem(status: int, code: str, detail: str, faults: list[SpecFault] | None = None, **extra) -> Response:
    """One problem details response."""
    body = {
        "type": f"urn:engine-build-rules:problem:{code}",
        "title": TITLES.get(status, "The request failed"),
        "status": status,
        "code": code,
        "detail": detail,
    } | extra
    if faults is not None:
        body["errors"] = [
            {key: value for key, value in fault._asdict().items() if value is not None} for fault in faults
        ]
    # For the log, which names codes and never what the client wrote.
    g.record.refused = {"code": code} | (
        {"faults": sorted({fault.code for fault in faults})} if faults else {}
    )
    return Response(orjson.dumps(body), status=status, mimetype=MEDIA_TYPE)


def register_problem_handlers(app: Flask) -> None:
    """One handler for each branch of the error tree, one for HTTP errors, one for what nobody foresaw."""
    # A redirect from // to / is answered past every handler, as a page of HTML.
    app.url_map.merge_slashes = False

    @app.after_request
    def _no_type_without_body(response: Response) -> Response:
        # The answer to OPTIONS would say text/html of nothing.
        if response.calculate_content_length() == 0:
            del response.headers["Content-Type"]
        return response

    @app.errorhandler(ProblemError)
    def _problem(error: ProblemError) -> Response:
        extra = {"suggestion": error.suggestion} if error.suggestion else {}
        response = problem(error.status, error.code, f"{error.detail} {error.mend}".strip(), **extra)
        response.headers.extend(error.headers)
        return response

    @app.errorhandler(SpecError)
    def _spec(error: SpecError) -> Response:
        count = len(error.faults)
        detail = f"The request holds {count} fault{'' if count == 1 else 's'}; nothing was evaluated. Mend all of them and send it again."
        return problem(422, "spec-faults", detail, error.faults)

    @app.errorhandler(TooMuchWork)
    def _work(error: TooMuchWork) -> Response:
        return problem(422, "too-much-work", f"The request asks for {error.asked}; the most is {error.cap}.")

    @app.errorhandler(PinError)
    def _pin(error: PinError) -> Response:
        loaded = {"loaded": error.loaded} if error.loaded else {}
        return problem(
            412,
            f"{error.pinned}-not-loaded",
            f"The {error.pinned} pinned in the request is not the one loaded here{'' if loaded else ': there is none'}. Leave the pin out, or look at what changed and pin what is loaded.",
            **loaded,
        )

    @app.errorhandler(HTTPException)
    def _http(error: HTTPException) -> Response:
        status = error.code or 500
        mend = " GET /openapi.json lists all calls." if status in (404, 405) else ""
        response = problem(
            status, CODES.get(status, "http-error"), f"{TITLES.get(status, 'The request failed')}.{mend}"
        )
        for name, value in error.get_headers():
            if name.lower() == "allow":
                response.headers[name] = value
        return response

    @app.errorhandler(Exception)
    def _unforeseen(error: Exception) -> Response:
        log.exception("unforeseen error, trace %s", g.record.trace)
        return problem(
            500,
            "internal",
            "The service failed on this request; the fault is on its side and was logged under the trace id.",
            trace_id=g.record.trace,
        )
