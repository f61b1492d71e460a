"""Spans of OpenTelemetry, by the extra `traces`: one for each request, under the trace of its log line."""

import time
from typing import Any

from flask import Flask, g
from opentelemetry.sdk.resources import Resource
from opentelemetry.sdk.trace import TracerProvider
from opentelemetry.sdk.trace.export import BatchSpanProcessor, SpanExporter
from opentelemetry.sdk.trace.id_generator import RandomIdGenerator
from opentelemetry.trace import (
    NonRecordingSpan,
    SpanContext,
    SpanKind,
    Status,
    StatusCode,
    TraceFlags,
    set_span_in_context,
)

from service.version import VERSION
from service.web.telemetry.record import Record
from service.web.telemetry.trace import parent_of

NAME = "engine-build-rules"
NANOSECONDS = 1_000_000_000


class _IdsOfRequests(RandomIdGenerator):
    """A trace that begins here has the id that the log line has."""

    def generate_trace_id(self) -> int:
        """The id of the request in hand."""
        return int(g.record.trace, 16)


class Spans:
    """Makes the span of a request once it is answered; a thread of its own sends them, and loses some where
    nobody takes them.
    """

    def __init__(self, exporter: SpanExporter, **batching: Any):
        self.provider = TracerProvider(
            resource=Resource.create({"service.name": NAME, "service.version": VERSION}),
            id_generator=_IdsOfRequests(),
        )
        self.provider.add_span_processor(BatchSpanProcessor(exporter, **batching))
        self._tracer = self.provider.get_tracer(NAME, VERSION)

    def add(self, record: Record, status: int, seconds: float) -> None:
        """The span of one request that took so long until now."""
        end = time.time_ns()
        rule = record.request.url_rule
        attributes: dict[str, str | int | float] = {
            "http.request.method": record.request.method,
            "http.response.status_code": status,
        }
        # A client's own path is in nothing that is kept.
        if rule is not None:
            attributes["http.route"] = rule.rule
        if record.caller:
            attributes["engine_build_rules.caller"] = record.caller
        for name in ("evaluation", "verdict"):
            if name in record.answer:
                attributes[f"engine_build_rules.{name}"] = record.answer[name]
        for phase, spent in record.watch.phases.items():
            attributes[f"engine_build_rules.phase.{phase}"] = spent
        span = self._tracer.start_span(
            record.operation,
            context=_under(record.request.headers.get("traceparent")),
            kind=SpanKind.SERVER,
            attributes=attributes,
            start_time=end - int(seconds * NANOSECONDS),
        )
        if status >= 500:
            span.set_status(Status(StatusCode.ERROR))
        span.end(end)


def _under(traceparent: str | None) -> Any:
    """The context of the caller's span; None where there is none."""
    parent = parent_of(traceparent)
    if parent is None:
        return None
    flags = TraceFlags(int(parent.flags, 16) & TraceFlags.SAMPLED)
    caller = SpanContext(int(parent.trace, 16), int(parent.span, 16), is_remote=True, trace_flags=flags)
    return set_span_in_context(NonRecordingSpan(caller))


def send_spans(app: Flask) -> None:
    """From this worker to OTEL_EXPORTER_OTLP_ENDPOINT, whose other settings are OpenTelemetry's own."""
    from opentelemetry.exporter.otlp.proto.http.trace_exporter import OTLPSpanExporter

    app.extensions["spans"] = Spans(OTLPSpanExporter())
