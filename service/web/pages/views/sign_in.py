"""Where tokens are on: a token is taken once, and the browser keeps it."""

from flask import Response, current_app, g, request
from werkzeug import Response as AnyResponse
from werkzeug.utils import redirect

from service.web.access.access import Access
from service.web.access.cookie import forget, keep
from service.web.pages.render import plain_page
from service.web.pages.sent import sent_form


def show_sign_in() -> Response:
    """A field for the token; where there are no tokens there is nothing to sign in to."""
    return _sign_in(200)


def take_token() -> AnyResponse:
    """A token that is in use goes into the cookie; any other is asked for again."""
    presented = sent_form().get("token", "").strip()
    token = _access().known(presented)
    if token is None:
        g.record.refused = {"code": "unknown-token"}
        return _sign_in(401)
    g.record.caller = token.name
    response = redirect(_wanted(), 303)
    keep(response, request, presented)
    return response


def sign_out() -> AnyResponse:
    """The browser forgets the token."""
    sent_form()
    response = redirect("/sign-in", 303)
    forget(response, request)
    return response


def _sign_in(status: int) -> Response:
    return plain_page(
        "sign_in.html", status, wanted=_wanted(), needed=bool(_access().tokens), refused=status == 401
    )


def _access() -> Access:
    access: Access = current_app.extensions["access"]
    return access


def _wanted() -> str:
    """Where somebody was going: a page of this service, never an address of another."""
    wanted = request.values.get("next", "/")
    return (
        wanted if wanted.startswith("/") and wanted[1:2] not in ("/", "\\") and wanted.isprintable() else "/"
    )
