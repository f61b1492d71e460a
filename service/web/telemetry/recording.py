"""One log line for each POST, each page that asked a call and each refusal; the counts of every request."""

from collections.abc import Callable
from typing import Any, cast

from flask import Flask, Request, Response, g, request
from werkzeug.local import LocalProxy

from service.web.api.state import State
from service.web.telemetry import metrics
from service.web.telemetry.record import Record


def register_recording(
    app: Flask, state: State, write: Callable[[dict[str, Any]], None] | None, log_specs: bool
) -> None:
    """Registered before everything else: it sees the first of each request and the last of each answer."""
    identity = {"rulebook": state.rulebook.digest, "catalog": state.catalog_digest}

    @app.before_request
    def _begin() -> None:
        # The request behind the proxy, which its type hides: looked up once instead of with every use.
        g.record = Record(cast("LocalProxy[Request]", request)._get_current_object())

    @app.after_request
    def _end(response: Response) -> Response:
        record = g.record
        seconds = record.watch.total()
        metrics.count(record, response.status_code, seconds)
        if spans := app.extensions.get("spans"):
            spans.add(record, response.status_code, seconds)
        # Every evaluation, those of pages too, and whatever was refused; reading the rulebook is not news.
        if write and (record.request.method == "POST" or record.answer or response.status_code >= 400):
            line = record.line(response, seconds) | identity
            if log_specs and record.asked is not None:
                line["request"] = record.asked
            write(line)
        return response
