"""Headers that make browsers careful with answers (OWASP REST Security Cheat Sheet).

None of CORS unless origins are configured.
"""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from flask import Flask, Response, request

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

_CLOSED = "default-src 'none'; base-uri 'none'; frame-ancestors 'none'"
# Scripts, styles and forms of this service and of nobody else; nothing inline.
_OF_PAGES = (
    f"{_CLOSED}; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'"
)
# The reader of the contract draws its arrows from addresses that hold the picture themselves.
_OF_THE_DOCS = _OF_PAGES.replace("img-src 'self'", "img-src 'self' data:")
PAGES = frozenset(
    (
        "/",
        "/answer",
        "/working",
        "/needs",
        "/power",
        "/parts",
        "/compare",
        "/dyno",
        "/rules",
        "/sheet",
        "/sign-in",
        "/sign-out",
    )
)
ALWAYS = [
    ("X-Content-Type-Options", "nosniff"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    # Not `no-referrer`, under which a form of a page would name no origin.
    ("Referrer-Policy", "same-origin"),
    ("Cross-Origin-Opener-Policy", "same-origin"),
]
NOT_KEPT = ("Cache-Control", "no-store")
OF_THE_PROCESS = ("/healthz", "/readyz", "/metrics")
ASKED_WITH = "Authorization, Content-Type, If-None-Match, traceparent"
# Ten minutes: a browser then asks again, so an origin taken away is soon gone.
REMEMBERED = "600"


class Careful:
    """Answers to POST are nobody's to keep, nor are refusals and what is told of the process.

    Pages say themselves how long they hold. Around the app and not within: there each header is looked up,
    checked and copied, which costs a tenth of a small evaluation.
    """

    def __init__(self, app: "WSGIApplication"):
        self.app = app

    def __call__(self, environ: "WSGIEnvironment", start_response: "StartResponse") -> Iterable[bytes]:
        # Nothing is offered to change to, so the wish is ignored (RFC 9110, 7.8); the router would refuse it.
        environ.pop("HTTP_UPGRADE", None)

        # The third argument is what WSGI gives with an error, as the server gave it.
        def start(status: str, headers: list[tuple[str, str]], *error: Any) -> Any:
            headers.extend(ALWAYS)
            headers.append(("Content-Security-Policy", policy_of(environ["PATH_INFO"])))
            if environ["REQUEST_METHOD"] == "POST" or status >= "4" or environ["PATH_INFO"] in OF_THE_PROCESS:
                headers.append(NOT_KEPT)
            return start_response(status, headers, *error)

        return self.app(environ, start)


def policy_of(path: str) -> str:
    """What a browser may load for the answer at a path: nothing, but for pages."""
    if path == "/docs":
        return _OF_THE_DOCS
    return _OF_PAGES if path in PAGES or path.startswith("/rules/") else _CLOSED


def register_headers(app: Flask, origins: tuple[str, ...]) -> None:
    """Every answer is careful; pages of the origins may ask from a browser."""
    # The way Flask itself documents for a layer around the app.
    app.wsgi_app = Careful(app.wsgi_app)  # type: ignore[method-assign]  # documented by Flask
    if not origins:
        return

    @app.after_request
    def _cross_origin(response: Response) -> Response:
        response.vary.add("Origin")
        origin = request.headers.get("Origin")
        if origin not in origins:
            return response
        response.headers["Access-Control-Allow-Origin"] = origin
        response.headers["Access-Control-Expose-Headers"] = "ETag"
        if request.method == "OPTIONS" and "Access-Control-Request-Method" in request.headers:
            response.headers["Access-Control-Allow-Methods"] = response.headers.get("Allow", "")
            response.headers["Access-Control-Allow-Headers"] = ASKED_WITH
            response.headers["Access-Control-Max-Age"] = REMEMBERED
        return response
