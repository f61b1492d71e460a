"""One log line for each POST and each refusal, and the counts of every request."""

from collections.abc import Callable

from flask import Flask, Response, g, request

from service.web.api.state import State
from service.web.telemetry import metrics
from service.web.telemetry.record import Record


def register_recording(
    app: Flask, here: State, write: Callable[[dict], None] | None, log_specs: bool
) -> None:
    """Registered before everything else, so that it sees the first of each request and the last of each answer."""
    identity = {"rulebook": here.rulebook.digest, "catalog": here.catalog.digest if here.catalog else None}

    @app.before_request
    def _begin() -> None:
        g.record = Record(request._get_current_object())

    @app.after_request
    def _end(response: Response) -> Response:
        record = g.record
        seconds, operation = record.watch.total(), record.operation
        metrics.count(
            operation, response.status_code, seconds, record.watch.phases, _judged(operation, record.answer)
        )
        # Every evaluation, and whatever was refused; reading the rulebook is not news.
        if write and (record.request.method == "POST" or response.status_code >= 400):
            line = record.line(response, seconds) | identity
            if log_specs and record.asked is not None:
                line["request"] = record.asked
            write(line)
        return response


def _judged(operation: str, answer: dict) -> list[str]:
    """The verdicts of the builds that were judged."""
    builds = (
        [answer]
        if operation == "create_evaluation"
        else answer.get("builds", ())
        if operation == "create_evaluation_batch"
        else ()
    )
    return [build["verdict"] for build in builds if "verdict" in build]
