"""One in-process WSGI call, and the reference: a Flask endpoint that parses a body and echoes it."""

import io
import time
from itertools import cycle

import orjson
from flask import Flask, jsonify, request


def echo_app() -> Flask:
    """Flask as it comes: get_json() and jsonify()."""
    app = Flask("echo")

    @app.post("/echo")
    def echo():
        return jsonify(request.get_json())

    return app


def caller(app: Flask, path: str, *bodies: dict):
    """A function that makes one call, with the bodies in turn, and returns the reply's bytes."""
    raws = cycle([orjson.dumps(body) for body in bodies])
    base = {
        "REQUEST_METHOD": "POST",
        "PATH_INFO": path,
        "SCRIPT_NAME": "",
        "QUERY_STRING": "",
        "SERVER_NAME": "localhost",
        "SERVER_PORT": "80",
        "SERVER_PROTOCOL": "HTTP/1.1",
        "CONTENT_TYPE": "application/json",
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": "http",
        "wsgi.errors": None,
        "wsgi.multithread": True,
        "wsgi.multiprocess": False,
        "wsgi.run_once": False,
    }

    def call() -> bytes:
        status = []
        raw = next(raws)
        reply = app(
            {**base, "CONTENT_LENGTH": str(len(raw)), "wsgi.input": io.BytesIO(raw)},
            lambda line, headers, error=None: status.append(line),
        )
        content = b"".join(reply)
        reply.close()
        if not status[0].startswith("200"):
            raise RuntimeError(f"{status[0]}: {content[:200]!r}")
        return content

    return call


def cpu_microseconds(call, calls: int = 1500) -> float:
    """CPU time of one call, averaged over many."""
    start = time.process_time()
    for _ in range(calls):
        call()
    return (time.process_time() - start) / calls * 1e6
