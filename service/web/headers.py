"""Headers that make browsers careful with answers (OWASP REST Security Cheat Sheet), and none of CORS unless origins are configured."""

from flask import Flask, Response, request

ALWAYS = {
    "X-Content-Type-Options": "nosniff",
    "Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'",
    "Cross-Origin-Resource-Policy": "same-origin",
}
ASKED_WITH = "Authorization, Content-Type, If-None-Match, traceparent"
# Ten minutes: a browser then asks again, so an origin taken away is soon gone.
REMEMBERED = "600"


def register_headers(app: Flask, origins: tuple[str, ...]) -> None:
    """Answers to POST are nobody's to keep; pages say themselves how long they hold."""

    @app.after_request
    def _careful(response: Response) -> Response:
        response.headers.extend(ALWAYS)
        if request.method == "POST" or response.status_code >= 400:
            response.headers["Cache-Control"] = "no-store"
        if origins:
            _cross_origin(response, origins)
        return response


def _cross_origin(response: Response, origins: tuple[str, ...]) -> None:
    response.vary.add("Origin")
    origin = request.headers.get("Origin")
    if origin not in origins:
        return
    response.headers["Access-Control-Allow-Origin"] = origin
    response.headers["Access-Control-Expose-Headers"] = "ETag"
    if request.method == "OPTIONS" and "Access-Control-Request-Method" in request.headers:
        response.headers["Access-Control-Allow-Methods"] = response.headers.get("Allow", "")
        response.headers["Access-Control-Allow-Headers"] = ASKED_WITH
        response.headers["Access-Control-Max-Age"] = REMEMBERED
