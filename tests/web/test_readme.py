"""The README's request is answered, and the commands it names exist."""

import json
import re
from pathlib import Path

from service.app import create_app

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_request_is_answered():
    [body] = re.findall(r"-d '(\{.*\})'", README)
    reply = create_app().test_client().post("/v1/evaluations", json=json.loads(body))
    assert reply.status_code == 200
    assert "600 hp" in json.dumps(reply.get_json()["understood"])
    assert "injector-duty" in {entry["check"] for entry in reply.get_json()["checks"]}


def test_every_make_target_and_command_is_there():
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    targets = set(re.findall(r"^    make (\w+)", README, re.MULTILINE))
    assert targets == {"demo", "test", "serve"}
    assert all(f"\n{target}:" in makefile for target in targets)
    commands = set(re.findall(r"python -m service (\w+)", README))
    assert commands == {"check", "compare"}
    assert all((ROOT / "service" / "commands" / f"{command}.py").is_file() for command in commands)


def test_every_endpoint_of_the_table_is_in_the_contract():
    paths = create_app().test_client().get("/openapi.json").get_json()["paths"]
    named = {path for path in re.findall(r"`(?:GET |POST )?(/[\w/{}.-]+)`", README)} | set(re.findall(r"(/v1/[\w-]+)", README))
    assert named and named <= set(paths)
