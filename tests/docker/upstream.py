"""A tiny HTTP server that answers everything alike and remembers what came."""

from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Event, Thread
from typing import NamedTuple


class Arrived(NamedTuple):
    """One request as it came."""

    method: str
    path: str
    headers: dict[str, str]
    body: bytes


class Upstream:
    """Answers with `status` and `reply`; a request is in `begun` when its head has come and in `arrived` when
    all of it has. While `going` is cleared, nothing is answered. Once `abandon` is set, the next request on a
    connection used before finds that connection broken off.
    """

    def __init__(self, port: int = 0) -> None:
        self.status = 200
        self.reply = b"{}"
        self.abandon = False
        self.going = Event()
        self.going.set()
        self.begun: list[str] = []
        self.arrived: list[Arrived] = []
        self.server = ThreadingHTTPServer(("127.0.0.1", port), self._handler())
        self.server.daemon_threads = False
        self.port = self.server.server_port

    def _handler(upstream):
        class Handler(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"
            # Head and body go out as two writes; without this the second waits for an acknowledgement.
            disable_nagle_algorithm = True
            answered = 0

            def answer(self) -> None:
                upstream.begun.append(self.command)
                # A chunked body would be left unread: the service does not take one either.
                body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
                upstream.arrived.append(
                    Arrived(
                        self.command,
                        self.path,
                        {name.lower(): value for name, value in self.headers.items()},
                        body,
                    )
                )
                upstream.going.wait()
                if upstream.abandon and self.answered:
                    upstream.abandon, self.close_connection = False, True
                    return
                self.answered += 1
                try:
                    self.send_response(upstream.status)
                    self.send_header("Content-Type", "application/json")
                    self.send_header("Content-Length", str(len(upstream.reply)))
                    self.end_headers()
                    self.wfile.write(upstream.reply)
                except ConnectionError:
                    # Whoever asked has gone; a test that makes clients wait need not wait for each of them.
                    self.close_connection = True

            do_GET = do_POST = answer

            def log_message(self, *_) -> None:
                """Nothing: what came is in `arrived`."""

        return Handler


@contextmanager
def listening(port: int = 0) -> Iterator[Upstream]:
    """An upstream while the block runs, on a free port or on this one."""
    upstream = Upstream(port)
    thread = Thread(target=upstream.server.serve_forever, kwargs={"poll_interval": 0.01})
    thread.start()
    try:
        yield upstream
    finally:
        upstream.server.shutdown()
        thread.join()
        upstream.server.server_close()
