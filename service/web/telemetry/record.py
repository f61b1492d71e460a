"""What is remembered of one request, for its log line and its counts."""

import sys
from datetime import UTC, datetime
from typing import Any

from flask import Request, Response

from service.evaluation.stopwatch import Stopwatch
from service.web.telemetry.trace import trace_id

# The operations that judge a build and answer with its verdict.
JUDGED = ("create_evaluation", "pages.show_answer")
# Of the statuses that tell of the service and not of the request: not installed, and too busy.
REFUSALS = (501, 503)


class Record:
    """Filled in by whoever knows; holds the request because looking it up anew costs more than using it."""

    __slots__ = ("_trace", "answer", "asked", "caller", "refused", "request", "watch")

    def __init__(self, request: Request):
        self.request = request
        self.watch = Stopwatch()
        self.caller: str | None = None
        self.asked: dict[str, Any] | None = None
        self.answer: dict[str, Any] = {}
        self.refused: dict[str, Any] = {}
        self._trace: str | None = None

    @property
    def trace(self) -> str:
        """The caller's trace, or one of our own; made when first asked for."""
        if self._trace is None:
            self._trace = trace_id(self.request.headers.get("traceparent"))
        return self._trace

    @property
    def operation(self) -> str:
        """The operationId of the contract, `none` for what is not in it."""
        return (self.request.endpoint or "none").removeprefix("v1.")

    @property
    def builds_judged(self) -> list[dict[str, Any]]:
        """The builds of the answer that have a verdict."""
        builds: list[dict[str, Any]] = []
        if self.operation in JUDGED:
            builds = [self.answer]
        elif self.operation == "create_evaluation_batch":
            builds = self.answer.get("builds", [])
        return [build for build in builds if "verdict" in build]

    def line(self, response: Response, seconds: float) -> dict[str, Any]:
        """The log line: never a token, and of the client's words none."""
        answer = self.answer
        line = {
            "time": datetime.now(UTC).isoformat(timespec="milliseconds"),
            "level": _level(response.status_code),
            "operation": self.operation,
            "status": response.status_code,
            "trace_id": self.trace,
            "caller": self.caller,
            "milliseconds": round(seconds * 1e3, 3),
            "phases": {phase: round(spent * 1e3, 3) for phase, spent in self.watch.phases.items()},
            # What a header claims may be more than a JSON number holds.
            "bytes": {
                "in": min(self.request.content_length, sys.maxsize)
                if self.request.content_length is not None
                else None,
                "out": response.calculate_content_length(),
            },
        }
        line |= {key: answer[key] for key in ("evaluation", "verdict") if key in answer}
        if self.operation == "create_evaluation" and "checks" in answer:
            line["checks"] = _outcomes(answer)
        return line | self.refused


def _level(status: int) -> str:
    """A fault of the service is an error; what it refuses, or has no room or no package for, a warning."""
    if status < 400:
        return "info"
    return "error" if status >= 500 and status not in REFUSALS else "warning"


def _outcomes(answer: dict[str, Any]) -> dict[str, Any]:
    """What each judged check came to, by verdict, and how many were not judged."""
    outcomes: dict[str, Any] = {"not_checked": answer["open"]["count"]}
    for entry in answer["checks"]:
        outcomes.setdefault(entry["verdict"], []).append(entry["check"])
    return outcomes
