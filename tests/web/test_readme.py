"""The README's request is answered, and the commands it names exist."""

import json
import re
from pathlib import Path

import pytest

from service.app import create_app

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_request_is_answered():
    [body] = re.findall(r"-d '(\{.*\})'", README)
    reply = create_app().test_client().post("/v1/evaluations", json=json.loads(body))
    assert reply.status_code == 200
    assert "600 hp" in json.dumps(reply.get_json()["understood"])
    assert "injector-duty" in {entry["check"] for entry in reply.get_json()["checks"]}


def test_the_conversation_goes_as_written():
    """Each request is posted, and each line of the answer shown is in the answer; numbers in a range to the digits shown."""
    client = create_app().test_client()
    steps = re.findall(r"^    POST (/v1/[a-z-]+)\n    (\{.*\})\n((?:(?!    POST).*\n)*)", README, re.MULTILINE)
    assert [path for path, _, _ in steps] == ["/v1/evaluations", "/v1/evaluations", "/v1/limits"]
    shown = 0
    for path, body, rest in steps:
        response = client.post(path, json=json.loads(body))
        assert response.status_code == 200
        answer = list(_pairs(response.get_json()))
        for line in re.findall(r'^    ("[a-z_]+": .*)$', rest, re.MULTILINE):
            ((key, value),) = json.loads("{" + line + "}").items()
            assert any(name == key and _like(found, value) for name, found in answer), line
            shown += 1
    assert shown >= 9


def _pairs(node):
    """Every name and value anywhere in an answer."""
    for item in node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ():
        yield item
        yield from _pairs(item[1])


def _like(found, shown):
    if isinstance(shown, dict):
        return isinstance(found, dict) and found.keys() == shown.keys() and all(_like(found[key], shown[key]) for key in shown)
    return isinstance(found, float) and found == pytest.approx(shown, rel=1e-3) if isinstance(shown, float) else found == shown


def test_every_make_target_and_command_is_there():
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    targets = set(re.findall(r"^    make (\w+)", README, re.MULTILINE))
    assert targets == {"demo", "test", "serve"}
    assert all(f"\n{target}:" in makefile for target in targets)
    commands = set(re.findall(r"python -m service (\w+)", README))
    assert commands == {"check", "compare", "catalog", "screen"}
    assert all((ROOT / "service" / "commands" / f"{command}.py").is_file() for command in commands)


def test_every_endpoint_of_the_table_is_in_the_contract():
    paths = create_app().test_client().get("/openapi.json").get_json()["paths"]
    named = {path for path in re.findall(r"`(?:GET |POST )?(/[\w/{}.-]+)`", README)} | set(re.findall(r"(/v1/[\w-]+)", README))
    assert named and named <= set(paths)
