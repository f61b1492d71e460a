"""A span for each request, under the caller's trace or that of its log line."""

import pytest
from opentelemetry.sdk.trace.export.in_memory_span_exporter import InMemorySpanExporter
from opentelemetry.trace import SpanKind, StatusCode

from service.web.telemetry.spans import Spans
from tests.support.expected import app_with

TRACE, SPAN = "4bf92f3577b34da6a3ce929d0e0e4736", "00f067aa0ba902b7"
BUILD = {"fuel_system": {"injector_count": 8, "injector_flow": "60 lb/h"}, "target": {"power": "600 rwhp"}}
SECRET = "owner-of-the-car"


@pytest.fixture(scope="module")
def traced():
    """(client, the spans so far, the lines of the log)."""
    lines, kept = [], InMemorySpanExporter()
    app = app_with(lines.append)
    # The test asks for them itself.
    spans = Spans(kept, schedule_delay_millis=3_600_000)
    app.extensions["spans"] = spans

    def finished():
        spans.provider.force_flush()
        found = kept.get_finished_spans()
        kept.clear()
        return found

    yield app.test_client(), finished, lines
    spans.provider.shutdown()


def test_a_call_is_a_span_of_the_callers_trace(traced):
    client, finished, _ = traced
    answer = client.post(
        "/v1/evaluations", json={"build": BUILD}, headers={"traceparent": f"00-{TRACE}-{SPAN}-01"}
    ).get_json()
    (span,) = finished()
    assert (f"{span.context.trace_id:032x}", f"{span.parent.span_id:016x}") == (TRACE, SPAN)
    assert (span.name, span.kind) == ("create_evaluation", SpanKind.SERVER)
    assert span.attributes["http.route"] == "/v1/evaluations"
    assert span.attributes["http.response.status_code"] == 200
    assert span.attributes["engine_build_rules.evaluation"] == answer["evaluation"]
    phases = {name.rpartition(".")[2]: spent for name, spent in span.attributes.items() if ".phase." in name}
    assert {"read", "plan", "run", "judge"} <= phases.keys()
    assert 0 < sum(phases.values()) <= (span.end_time - span.start_time) / 1e9 * 1.01


def test_a_trace_that_begins_here_is_the_one_of_the_log(traced):
    client, finished, lines = traced
    lines.clear()
    client.post("/v1/evaluations", json={"build": BUILD})
    (span,) = finished()
    assert span.parent is None and f"{span.context.trace_id:032x}" == lines[0]["trace_id"]


def test_who_does_not_sample_is_not_sampled(traced):
    client, finished, _ = traced
    client.get("/healthz", headers={"traceparent": f"00-{TRACE}-{SPAN}-00"})
    assert finished() == ()


def test_nothing_of_the_client_is_in_it(traced):
    client, finished, _ = traced
    client.post(f"/v1/evaluations/{SECRET}?{SECRET}=1", json={"build": {SECRET: 1}})
    client.post("/v1/evaluations", json={"build": {SECRET: SECRET}})
    for span in finished():
        assert SECRET not in span.to_json()
        assert span.status.status_code is not StatusCode.ERROR
