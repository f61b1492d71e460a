"""One line for each evaluation: which rulebook and catalog, what came out, how long each phase took; never a
token, and the spec only when asked for.
"""

import json

import orjson
import pytest

from service.web.access.tokens import hash_of
from service.web.api.views.routes import blueprint
from service.web.pages.routes import pages
from tests.support.expected import app_with
from tests.support.places import CATALOG

TOKEN = "counter-" + "c" * 35
READS = "screen-" + "s" * 36
TRACEPARENT = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"
SECRET = "zebrafish"
BUILD = {"fuel_system": {"injector_count": 8, "injector_flow": "60 lb/h"}, "target": {"power": "600 rwhp"}}


def recorded(**settings):
    """(client, the lines written)."""
    lines = []
    app = app_with(lines.append, **{"CATALOG": str(CATALOG), **settings})
    return app.test_client(), lines


@pytest.fixture(scope="module")
def guarded(tmp_path_factory):
    path = tmp_path_factory.mktemp("tokens") / "tokens.yaml"
    path.write_text(
        f"counter-2026:\n  scopes: [evaluate, read]\n  hash: {hash_of(TOKEN)}\nscreen:\n  scopes: [read]\n"
        f"  hash: {hash_of(READS)}\n"
    )
    return recorded(TOKENS=str(path))


@pytest.fixture(scope="module")
def with_specs():
    return recorded(LOG_SPECS="1")


@pytest.fixture
def line(guarded):
    """Sends a request; the one line it makes."""
    client, lines = guarded

    def send(path="/v1/evaluations", method="POST", token=TOKEN, **rest):
        lines.clear()
        response = client.open(
            path,
            method=method,
            headers={"Authorization": f"Bearer {token}", "traceparent": TRACEPARENT},
            **rest,
        )
        assert len(lines) == 1
        assert TOKEN not in json.dumps(lines)
        return response, lines[0]

    return send


def test_an_evaluation(guarded, line):
    response, written = line(json={"build": BUILD})
    answer = response.get_json()
    here = guarded[0].application.extensions["engine-build-rules"]
    assert (
        (written["rulebook"], written["catalog"])
        == (here.rulebook.digest, here.catalog.digest)
        == (answer["rulebook"]["digest"], answer["catalog"]["digest"])
    )
    assert written["evaluation"] == answer["evaluation"]
    assert (
        written["operation"],
        written["status"],
        written["verdict"],
        written["level"],
        written["caller"],
    ) == ("create_evaluation", 200, answer["verdict"], "info", "counter-2026")
    assert written["trace_id"] == "4bf92f3577b34da6a3ce929d0e0e4736"
    assert written["bytes"] == {
        "in": len(json.dumps({"build": BUILD}, separators=(",", ":"))),
        "out": len(response.data),
    }


def test_what_each_check_came_to(line):
    response, written = line(json={"build": BUILD})
    answer = response.get_json()
    assert written["checks"].pop("not_checked") == answer["open"]["count"]
    assert {id: verdict for verdict, ids in written["checks"].items() for id in ids} == {
        entry["check"]: entry["verdict"] for entry in answer["checks"]
    }


def test_phases_add_up(line):
    _, written = line(json={"build": BUILD, "include": ["ranges", "questions", "remedies"]})
    assert list(written["phases"]) == ["read", "plan", "run", "judge", "remedies", "work", "write"]
    assert all(spent >= 0 for spent in written["phases"].values())
    # What lies between is Flask's own; each figure is rounded to a thousandth.
    assert sum(written["phases"].values()) <= written["milliseconds"] + 0.01


def test_the_spec_is_not_in_the_line(guarded, line):
    _, written = line(json={"build": BUILD, "rulebook": SECRET})
    assert SECRET not in json.dumps(written) and "600 rwhp" not in json.dumps(written)


def test_the_spec_is_there_when_switched_on(with_specs):
    client, lines = with_specs
    lines.clear()
    client.post("/v1/evaluations", json={"build": BUILD})
    assert lines[0]["request"] == {"build": BUILD}


REFUSED = {
    "faults": (
        {
            "json": {
                "build": {"induction": {SECRET: "12 psi"}, "fuel_system": {"injector_flow": f"60 {SECRET}"}}
            }
        },
        422,
        {"code": "spec-faults", "faults": ["unknown-key", "unknown-unit"]},
    ),
    "pin": ({"json": {"build": {}, "rulebook": f"sha256:{SECRET}"}}, 412, {"code": "rulebook-not-loaded"}),
    "no JSON": ({"data": f'{{"{SECRET}": ', "content_type": "application/json"}, 400, {"code": "not-json"}),
    "no JSON type": ({"data": SECRET, "content_type": "text/plain"}, 415, {"code": "wrong-media-type"}),
    "too large": (
        {"data": b" " * 70_000, "content_type": "application/json"},
        413,
        {"code": "body-too-large"},
    ),
}


@pytest.mark.parametrize(("sent", "status", "says"), REFUSED.values(), ids=REFUSED)
def test_refused_requests_have_their_line(line, sent, status, says):
    response, written = line(**sent)
    assert (response.status_code, written["status"]) == (status, status)
    assert {key: written[key] for key in says} == says
    assert SECRET not in json.dumps(written) and written["rulebook"].startswith("sha256:")


def test_callers_that_are_not_let_in_have_their_line(line):
    _, written = line(token="x" * 43, json={"build": BUILD})
    assert (written["status"], written["code"], written["caller"]) == (401, "unknown-token", None)
    assert "x" * 43 not in json.dumps(written)


def test_a_caller_without_the_scope_is_named(line):
    _, written = line(token=READS, json={"build": BUILD})
    assert (written["status"], written["code"], written["caller"]) == (403, "scope", "screen")
    assert READS not in json.dumps(written)


def test_a_length_that_no_number_holds_has_a_line_that_can_be_written(line):
    response, written = line(
        data=b"{}", content_type="application/json", environ_overrides={"CONTENT_LENGTH": "9" * 30}
    )
    # RFC 8259, 6: numbers beyond a double's reach do not travel; orjson takes 64 bits.
    assert response.status_code == 413 and orjson.loads(orjson.dumps(written)) == written


@pytest.mark.parametrize("path", ["/readyz", "/metrics", "/v1/parts"])
def test_so_have_those_who_try_what_is_read_only_with_a_token(line, path):
    _, written = line(path, method="GET", token="x" * 43)
    assert (written["status"], written["code"]) == (401, "unknown-token")


@pytest.mark.parametrize("path", ["/v1/none", "/v1/checks/none"])
def test_what_is_not_there_has_its_line(line, path):
    response, written = line(path, method="GET")
    assert (response.status_code, written["status"], written["code"]) == (404, 404, "not-found")


def test_a_fault_of_the_service_has_its_line_and_its_trace(line, monkeypatch, caplog):
    monkeypatch.setattr("service.evaluation.evaluate.run_plan", lambda *_: 1 / 0)
    response, written = line(json={"build": BUILD})
    assert (response.status_code, written["status"], written["level"], written["code"]) == (
        500,
        500,
        "error",
        "internal",
    )
    assert response.get_json()["trace_id"] == written["trace_id"] == "4bf92f3577b34da6a3ce929d0e0e4736"
    assert written["trace_id"] in caplog.text and "ZeroDivisionError" in caplog.text
    assert "ZeroDivision" not in response.text


@pytest.mark.parametrize("path", ["/healthz", "/readyz", "/metrics", "/v1/checks", "/openapi.json"])
def test_reading_is_not_news(guarded, path):
    client, lines = guarded
    lines.clear()
    assert client.get(path, headers={"Authorization": f"Bearer {TOKEN}"}).status_code == 200
    assert lines == []


def test_a_batch_and_a_choice_have_one_line_each(line):
    _, written = line("/v1/evaluation-batches", json={"builds": [BUILD] * 3})
    assert (written["operation"], written["status"]) == ("create_evaluation_batch", 200)
    assert {"read", "work", "write"} == set(written["phases"])


def test_nothing_of_it_is_in_the_answer(line):
    bodies = {line(json={"build": BUILD})[0].data for _ in range(3)}
    assert len(bodies) == 1


def counted(client, name, **labels):
    """The value of one sample of the page of metrics."""
    wanted = "{" + ",".join(f'{key}="{value}"' for key, value in labels.items()) + "}" if labels else ""
    for row in client.get("/metrics", headers={"Authorization": f"Bearer {TOKEN}"}).text.splitlines():
        if row.startswith(f"{name}{wanted} "):
            return float(row.rsplit(" ", 1)[1])
    return 0.0


def test_what_is_counted(guarded):
    client, _ = guarded
    names = {
        "requests": (
            "engine_build_rules_requests_total",
            {"caller": "counter-2026", "operation": "create_evaluation", "status": "200"},
        ),
        "refused": (
            "engine_build_rules_requests_total",
            {"caller": "counter-2026", "operation": "create_evaluation", "status": "422"},
        ),
        "timed": ("engine_build_rules_request_seconds_count", {"operation": "create_evaluation"}),
        "verdicts": ("engine_build_rules_verdicts_total", {"verdict": "warn"}),
        "found": ("engine_build_rules_found_total", {"check": "injector-duty", "verdict": "warn"}),
    }
    before = {key: counted(client, name, **labels) for key, (name, labels) in names.items()}
    headers = {"Authorization": f"Bearer {TOKEN}"}
    assert (
        client.post("/v1/evaluations", json={"build": BUILD}, headers=headers).get_json()["verdict"] == "warn"
    )
    client.post("/v1/evaluations", json={}, headers=headers)
    client.post("/v1/evaluation-batches", json={"builds": [BUILD, BUILD, {SECRET: 1}]}, headers=headers)
    after = {key: counted(client, name, **labels) for key, (name, labels) in names.items()}
    assert {key: after[key] - before[key] for key in names} == {
        "requests": 1,
        "refused": 1,
        "timed": 2,
        "verdicts": 3,
        "found": 3,
    }


@pytest.mark.parametrize(
    ("asked", "level"),
    [({"json": {"build": BUILD}}, "info"), ({"json": {}}, "warning"), ({"data": b"{"}, "warning")],
)
def test_a_refusal_is_a_warning(line, asked, level):
    assert line(**asked)[1]["level"] == level


def test_no_label_is_the_clients(guarded):
    client, _ = guarded
    for path in (f"/v1/{SECRET}", f"/v1/checks/{SECRET}"):
        client.get(path, headers={"Authorization": f"Bearer {TOKEN}"})
    assert SECRET not in client.get("/metrics", headers={"Authorization": f"Bearer {TOKEN}"}).text


def test_every_view_is_an_operation_by_its_name(guarded):
    endpoints = {rule.endpoint for rule in guarded[0].application.url_map.iter_rules()}
    assert {endpoint.partition(".")[0] for endpoint in endpoints} == {blueprint.name, pages.name}
