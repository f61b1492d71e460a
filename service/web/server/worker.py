"""gunicorn's worker of threads, with our words for what never reaches the app."""

import json
from typing import Any

from gunicorn import util  # type: ignore[import-untyped]  # the library carries no types
from gunicorn.http.errors import (  # type: ignore[import-untyped]  # as above
    ExpectationFailed,
    LimitRequestHeaders,
    LimitRequestLine,
    ParseException,
    UnsupportedTransferCoding,
)
from gunicorn.workers.gthread import ThreadWorker  # type: ignore[import-untyped]  # as above

from service.web.api.problem_codes import PROBLEMS
from service.web.server.unread_body import closing_unread

# What is not HTTP at all has the code below.
REFUSED = {
    LimitRequestLine: "address-too-long",
    LimitRequestHeaders: "headers-too-large",
    ExpectationFailed: "expectation",
    UnsupportedTransferCoding: "not-implemented",
}
MALFORMED = "malformed-request"


class Worker(ThreadWorker):  # type: ignore[misc]  # as above
    """Repeats nothing of what it cannot read, in its answer or its log: a token in a header without its colon
    would be in both. And keeps no connection that it will not read on.
    """

    def load_wsgi(self) -> None:
        """The app, as its workers serve it."""
        super().load_wsgi()
        self.wsgi = closing_unread(self.app.wsgi())

    def handle_error(self, req: Any, client: Any, addr: Any, exc: Exception) -> None:
        """Tell a client what is wrong with a request that cannot be read."""
        if not isinstance(exc, ParseException):
            super().handle_error(req, client, addr, exc)
            return
        code = REFUSED.get(type(exc), MALFORMED)
        self.log.warning("refused before it was read: %s", code)
        try:
            util.write_nonblock(client, refusal(code))
        except OSError:
            self.log.debug("nobody waits for the answer any more")


def refusal(code: str) -> bytes:
    """A problem as it goes over the wire, with the connection closed behind it."""
    status, title, _ = PROBLEMS[code]
    body = json.dumps(
        {
            "type": f"/problems/{code}",
            "title": title,
            "status": status,
            "code": code,
            "detail": f"{title}.",
        }
    )
    head = (
        f"HTTP/1.1 {status} {title}",
        "Connection: close",
        "Content-Type: application/problem+json",
        "Cache-Control: no-store",
        "X-Content-Type-Options: nosniff",
        f"Content-Length: {len(body)}",
    )
    return "\r\n".join([*head, "", body]).encode()
