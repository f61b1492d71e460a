"""Every code that the service, its server or its gateway may answer with is told, with what it means."""

import ast
import gzip
import json
import re

import pytest
from flask import g, request
from werkzeug.exceptions import BadRequest

from service.web.api.problem_codes import FAULTS, PROBLEMS
from service.web.api.problems import _http_error
from service.web.server.worker import MALFORMED, REFUSED
from service.web.telemetry.record import Record
from tests.support.places import ROOT

CODE = re.compile(r"[a-z]+(-[a-z]+)*")
RAISES_FAULTS = {"Fault", "SpecFault", "fault"}
RAISES_PROBLEMS = {"ProblemError", "AccessError", "MediaTypeError", "problem"}
# The place of the code among the arguments, by the name of what is called.
PLACE = {"SpecFault": 1, "ProblemError": 1, "AccessError": 1, "problem": 1}


def codes_in_code(names):
    """The codes that calls of these names write out."""
    codes = set()
    for path in (ROOT / "service").rglob("*.py"):
        for call in (node for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.Call)):
            name = getattr(call.func, "id", getattr(call.func, "attr", None))
            if name in names:
                first = call.args[PLACE.get(name, 0) :][:2]
                texts = [arg.value for arg in first if isinstance(arg, ast.Constant)][:1]
                codes |= {text for text in texts if isinstance(text, str) and CODE.fullmatch(text)}
    return codes


def test_every_fault_is_told():
    raised = codes_in_code(RAISES_FAULTS)
    assert len(raised) > 30 and raised - FAULTS.keys() == set()


def test_no_fault_is_told_that_nobody_raises():
    # Some are written as `fault = Fault(` over lines, some handed on: any text of the code will do.
    texts = {
        node.value
        for path in (ROOT / "service").rglob("*.py")
        if path.name != "problem_codes.py"
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    assert FAULTS.keys() - texts == set()


def test_every_problem_is_told():
    raised = codes_in_code(RAISES_PROBLEMS)
    assert len(raised) > 15 and raised - PROBLEMS.keys() == set()


def test_what_is_refused_before_the_service_is_told():
    text = (ROOT / "docker" / "nginx.conf").read_text()
    pairs = re.findall(r"^\s+\w+:? \(?(?:\d{3}, )?\"([a-z-]+)\"[,;]", text, re.MULTILINE)
    assert len(pairs) >= 4 and set(pairs) - PROBLEMS.keys() == set()
    assert {*REFUSED.values(), MALFORMED} <= PROBLEMS.keys()


@pytest.mark.parametrize("code", [*PROBLEMS, *FAULTS])
def test_every_code_has_a_page(client, fits_closed, code):
    page = client.get(f"/problems/{code}")
    assert page.status_code == 200 and fits_closed("CodeMeaning", page.get_json()) == []
    assert page.get_json()["code"] == code and page.get_json()["meaning"].endswith(".")


def test_the_list_holds_them_all(client):
    listed = client.get("/problems").get_json()
    assert [entry["code"] for entry in listed["problems"]] == list(PROBLEMS)
    assert [entry["code"] for entry in listed["faults"]] == list(FAULTS)


def test_the_type_of_a_problem_leads_to_its_page(client):
    problem = client.post("/v1/evaluations", json={"build": {"engine": 5}}).get_json()
    page = client.get(problem["type"]).get_json()
    assert (page["code"], page["status"]) == (problem["code"], problem["status"])
    assert page["title"] == problem["title"]


def test_a_code_that_is_none(client):
    response = client.get("/problems/spec-fault")
    assert response.status_code == 404 and response.get_json()["suggestion"] == "spec-faults"


def test_a_pin_that_is_not_loaded_leads_to_what_changed(client):
    refused = client.post("/v1/evaluations", json={"build": {}, "rulebook": "sha256:0"}).get_json()
    assert "rules/CHANGES.md" in refused["detail"] and "openapi/CHANGES.md" in refused["detail"]
    assert (ROOT / "rules/CHANGES.md").is_file() and (ROOT / "openapi/CHANGES.md").is_file()


@pytest.mark.parametrize("tag", ['"sha256:0"', 'W/"{digest}"'])
def test_a_page_that_is_another_than_if_match_says(client, tag):
    # RFC 9110, 13.1.1: the comparison is strong, and the answer is no page under a status of failure.
    digest = client.get("/v1/checks").headers["ETag"].strip('"')
    response = client.get("/v1/inputs", headers={"If-Match": tag.format(digest=digest)})
    assert (response.status_code, response.mimetype) == (412, "application/problem+json")
    assert response.get_json()["code"] == "changed"


@pytest.mark.parametrize("tag", ["*", '"{digest}"', '"sha256:0", "{digest}"'])
def test_a_page_that_if_match_names(client, tag):
    digest = client.get("/v1/checks").headers["ETag"].strip('"')
    assert client.get("/v1/inputs", headers={"If-Match": tag.format(digest=digest)}).status_code == 200


@pytest.mark.parametrize("coding", ["gzip", "br", "gzip, identity"])
def test_a_compressed_request_is_refused(client, coding):
    # RFC 9110, 15.5.16: 415, with what is taken in Accept-Encoding.
    body = gzip.compress(json.dumps({"build": {}}).encode())
    headers = {"Content-Encoding": coding, "Content-Type": "application/json"}
    response = client.post("/v1/evaluations", data=body, headers=headers)
    assert (response.status_code, response.get_json()["code"]) == (415, "encoded")
    assert response.headers["Accept-Encoding"] == "identity"


def test_a_request_that_says_it_is_not_compressed(client):
    headers = {"Content-Encoding": "identity"}
    assert client.post("/v1/evaluations", json={"build": {}}, headers=headers).status_code == 200


@pytest.mark.parametrize("offer", ["websocket", "h2c", "TLS/1.0"])
def test_a_wish_to_change_the_protocol_is_ignored(client, offer):
    response = client.get("/healthz", headers={"Upgrade": offer, "Connection": "Upgrade"})
    assert (response.status_code, response.get_json()) == (200, {"status": "ok"})


def test_what_the_framework_refuses_says_what_it_is(apps):
    """As a host that is none: no code of ours, so the name of the status tells it."""
    app = apps["compiled"]
    with app.test_request_context("/healthz"):
        g.record = Record(request._get_current_object())
        told = json.loads(_http_error(BadRequest()).data)
    assert (told["title"], told["detail"]) == ("The request failed", "The request failed: Bad Request.")


def test_without_memory_it_asks_to_come_again(apps, monkeypatch):
    app = apps["compiled"]

    def no_memory(*_, **__):
        raise MemoryError

    monkeypatch.setattr(app.extensions["engine-build-rules"].evaluator, "evaluate", no_memory)
    response = app.test_client().post("/v1/evaluations", json={"build": {}})
    assert (response.status_code, response.get_json()["code"]) == (503, "busy")
    assert response.headers["Retry-After"] == "1"
