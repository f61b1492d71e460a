"""A connection whose request was not read to its end promises no further answer (RFC 9112, 9.6)."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

# gunicorn reads twice as much away before it takes the next request; past that it drops the connection.
READ_AWAY = 32 * 1024


def closing_unread(app: "WSGIApplication") -> "WSGIApplication":
    """The app with `Connection: close` where a body is left.

    An app cannot say so itself: the header belongs to the server (PEP 3333), which drops it.
    """

    def answer(environ: "WSGIEnvironment", start_response: "StartResponse") -> Iterable[bytes]:
        # The third argument is what WSGI gives with an error, as the server gave it.
        def start(status: str, headers: list[tuple[str, str]], *error: Any) -> Any:
            if _is_left(environ):
                # It is a method of the server's answer.
                start_response.__self__.force_close()  # type: ignore[attr-defined]
            return start_response(status, headers, *error)

        return app(environ, start)

    return answer


def _is_left(environ: "WSGIEnvironment") -> bool:
    if "HTTP_TRANSFER_ENCODING" in environ:
        # No call reads a body of unknown length.
        return True
    left: int = getattr(environ["wsgi.input"].reader, "length", 0)
    return left > READ_AWAY
