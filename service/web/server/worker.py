"""gunicorn's worker of threads, with our words for what never reaches the app."""

import errno
import json
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from selectors import EVENT_READ
from socket import SHUT_WR
from threading import Barrier
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

from service.web.api.problem_codes import PROBLEMS, RETRY_AFTER
from service.web.server.bounded_socket import BoundedSocket
from service.web.server.unread_body import closing_unread

# What is not HTTP at all has the code below.
REFUSED = {
    LimitRequestLine: "address-too-long",
    LimitRequestHeaders: "headers-too-large",
    ExpectationFailed: "expectation",
    UnsupportedTransferCoding: "not-implemented",
}
MALFORMED = "malformed-request"
# Of the process or the machine: no connection can be taken until others end.
NO_ROOM = (errno.EMFILE, errno.ENFILE, errno.ENOBUFS, errno.ENOMEM)
# The loop of a worker that cannot take a connection rests, or it would turn a core round it.
REST = 0.1
# Seconds in which a client who was told that the connection ends ends it too.
LINGER = 2.0
# Seconds that a long call computes before a short one gets its turn. Python's own are five times as many, and
# each request meets them several times: it reads, writes and logs between.
TURN = 0.001
# Seconds between two lines of the log about it.
SILENCE = 60.0


class Worker(ThreadWorker):  # type: ignore[misc]  # as above
    """Repeats nothing of what it cannot read, in its answer or its log: a token in a header without its colon
    would be in both. Keeps no connection that it will not read on, waits for nobody without a bound, and
    gives up idle connections for one that asks.
    """

    _told = _swept = -SILENCE

    def load_wsgi(self) -> None:
        """The app, as its workers serve it."""
        sys.setswitchinterval(TURN)
        super().load_wsgi()
        self.wsgi = closing_unread(self.app.wsgi())

    def get_thread_pool(self) -> ThreadPoolExecutor:
        """The threads, all there from the start: one that cannot be made later would end the worker."""
        pool: ThreadPoolExecutor = super().get_thread_pool()
        started = Barrier(self.cfg.threads + 1)
        for _ in range(self.cfg.threads):
            pool.submit(started.wait)
        started.wait()
        return pool

    def enqueue_req(self, conn: Any) -> None:
        """Hand a connection to a thread once its request is here: who sends slowly holds no thread."""
        if not isinstance(conn.sock, BoundedSocket):
            conn.sock = BoundedSocket.of(conn.sock)
        try:
            self._hand_on(conn)
        except MemoryError as error:
            self._say_no_room(error)
            self.nr_conns -= 1
            self._tell(conn.sock, COME_AGAIN)
            conn.close()

    def _hand_on(self, conn: Any) -> None:
        has_begun = conn.initialized and conn.parser.unreader.buf.getvalue()
        if has_begun or conn.sock.gather():
            # What came is not on the connection any more, where it would be waited for.
            conn.data_ready = True
            super().enqueue_req(conn)
        else:
            self._wait_for_rest(conn)

    def _wait_for_rest(self, conn: Any) -> None:
        conn.sock.setblocking(False)
        if conn.sock.early:
            conn.timeout = conn.sock.deadline
        else:
            conn.set_timeout()
        self.pending_conns.append(conn)
        self.poller.register(conn.sock, EVENT_READ, partial(self.on_pending_socket_readable, conn))

    def finish_request(self, conn: Any, fs: Any) -> None:
        """Keep the connection or end it; what came already of its next request will not be told of again."""
        conn.sock.end_request()
        if not fs.cancelled() and fs.exception() is None and fs.result() is False:
            self._see_off(conn)
            return
        super().finish_request(conn, fs)
        if conn.sock.early and conn in self.keepalived_conns:
            self.on_client_socket_readable(conn, conn.sock)

    def _see_off(self, conn: Any) -> None:
        """End our side, and read on until the client ends his: what he had not read would be lost with it.

        gunicorn waits for him in its loop, two seconds each, and nobody is served meanwhile.
        """
        try:
            conn.sock.shutdown(SHUT_WR)
        except OSError:
            self.nr_conns -= 1
            conn.close()
            return
        conn.sock.setblocking(False)
        conn.timeout = time.monotonic() + LINGER
        self.pending_conns.append(conn)
        self.poller.register(conn.sock, EVENT_READ, partial(self._drain, conn))

    def _drain(self, conn: Any, _client: Any) -> None:
        if not conn.sock.drain():
            self.pending_conns.remove(conn)
            self._end(conn)

    def accept(self, listener: Any) -> None:
        """Take a connection; without a descriptor for it, later."""
        try:
            super().accept(listener)
        except OSError as error:
            if error.errno not in NO_ROOM:
                raise
            self._say_no_room(error)
            self._end_idle()
            time.sleep(REST)

    def murder_pending(self) -> None:
        """End what has waited too long; where no more can be taken, also who waits longest without asking."""
        now = time.monotonic()
        if now - self._swept >= REST:
            self._swept = now
            for conn in [conn for conn in self.pending_conns if conn.timeout <= now]:
                self.pending_conns.remove(conn)
                self._end(conn)
        if self.nr_conns >= self.worker_connections:
            self._end_idle()

    def _cap_keepalive(self, deadline: float) -> None:
        """On the way out nobody is waited for who has not asked."""
        super()._cap_keepalive(deadline)
        for conn in self.pending_conns:
            conn.timeout = min(conn.timeout, deadline)

    def _end(self, conn: Any) -> None:
        self.poller.unregister(conn.sock)
        self.nr_conns -= 1
        conn.close()

    def _end_idle(self) -> None:
        """End the tenth of the idle connections that is idle longest, those that never asked first."""
        for idle in (self.pending_conns, self.keepalived_conns):
            for _ in range(-(-len(idle) // 10)):
                self._end(idle.popleft())

    def _say_no_room(self, error: OSError | MemoryError) -> None:
        now = time.monotonic()
        if now - self._told >= SILENCE:
            self._told = now
            lacking = getattr(error, "strerror", "") or "no memory"
            self.log.warning("no connection can be taken until another ends: %s", lacking)

    def handle_error(self, req: Any, client: Any, addr: Any, exc: Exception) -> None:
        """Tell a client what is wrong with a request that cannot be read."""
        if not isinstance(exc, ParseException):
            super().handle_error(req, client, addr, exc)
            return
        code = REFUSED.get(type(exc), MALFORMED)
        self.log.warning("refused before it was read: %s", code)
        self._tell(client, refusal(code))

    def _tell(self, client: Any, answer: bytes) -> None:
        try:
            util.write_nonblock(client, answer)
        except OSError:
            self.log.debug("nobody waits for the answer any more")


def refusal(code: str, *more: str) -> bytes:
    """A problem as it goes over the wire, with more headers, and the connection closed behind it."""
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
        *more,
    )
    return "\r\n".join([*head, "", body]).encode()


# Made while there is memory.
COME_AGAIN = refusal("busy", f"Retry-After: {RETRY_AFTER}")
