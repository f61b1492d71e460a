"""A token kept by the browser in a cookie that no script and no other site can use."""

from urllib.parse import urlsplit

from flask import Request
from werkzeug import Response

from service.addresses import is_local

NAME = "counter_token"


def keep(response: Response, request: Request, token: str) -> None:
    """The browser keeps the token until it is closed; beyond this machine over TLS only."""
    response.set_cookie(
        NAME, token, httponly=True, samesite="Strict", secure=_is_elsewhere(request), path="/"
    )


def forget(response: Response, request: Request) -> None:
    """The browser keeps it no longer."""
    response.delete_cookie(NAME, httponly=True, samesite="Strict", secure=_is_elsewhere(request), path="/")


def token_kept(request: Request) -> str | None:
    """The token in the cookie, where the request comes from a page of this service."""
    return request.cookies.get(NAME) if comes_from_here(request) else None


def comes_from_here(request: Request) -> bool:
    """Whether a page of this service made the request, or a person did who typed its address."""
    reads = request.method in ("GET", "HEAD")
    site, origin = request.headers.get("Sec-Fetch-Site"), request.headers.get("Origin")
    if site is not None:
        return site == "same-origin" or (site == "none" and reads)
    # Over plain HTTP browsers tell the origin alone, and that of a form only.
    return reads if origin is None else urlsplit(origin).netloc == request.host


def _is_elsewhere(request: Request) -> bool:
    return not is_local(urlsplit(f"//{request.host}").hostname or "")
