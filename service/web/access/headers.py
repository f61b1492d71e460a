"""Headers that make browsers careful with answers (OWASP REST Security Cheat Sheet), and none of CORS unless origins are configured."""

from flask import Flask, Response, request

ALWAYS = [
    ("X-Content-Type-Options", "nosniff"),
    ("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
]
NOT_KEPT = ("Cache-Control", "no-store")
OF_THE_PROCESS = ("/healthz", "/readyz", "/metrics")
ASKED_WITH = "Authorization, Content-Type, If-None-Match, traceparent"
# Ten minutes: a browser then asks again, so an origin taken away is soon gone.
REMEMBERED = "600"


class Careful:
    """Answers to POST are nobody's to keep, nor are refusals and what is told of the process; pages say themselves how long they hold.

    Around the app and not within: there each header is looked up, checked and copied, which costs a tenth of a small evaluation.
    """

    def __init__(self, app):
        self.app = app

    def __call__(self, environ, start_response):
        def start(status, headers, *error):
            headers.extend(ALWAYS)
            if environ["REQUEST_METHOD"] == "POST" or status >= "4" or environ["PATH_INFO"] in OF_THE_PROCESS:
                headers.append(NOT_KEPT)
            return start_response(status, headers, *error)

        return self.app(environ, start)


def register_headers(app: Flask, origins: tuple[str, ...]) -> None:
    """Every answer is careful; pages of the origins may ask from a browser."""
    app.wsgi_app = Careful(app.wsgi_app)
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
