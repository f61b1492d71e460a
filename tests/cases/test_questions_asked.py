"""Thirty questions heard over a counter: the call that answers each, or tests/README.md says why not."""

from pathlib import Path

import pytest

from service.app import create_app
from tests.support.yaml_data import read_yaml

HERE = Path(__file__).parent
QUESTIONS = read_yaml(HERE / "questions.yaml")
PAPER = " ".join((HERE.parent / "README.md").read_text(encoding="utf-8").split())


@pytest.fixture(scope="module")
def client():
    return create_app().test_client()


def test_all_thirty_are_there():
    assert {name.split()[0] for name in QUESTIONS} == {f"Q{number:02}" for number in range(1, 31)}


@pytest.mark.parametrize(
    "question", [pytest.param(one, id=name) for name, one in QUESTIONS.items() if "call" in one]
)
def test_the_call_answers_it(client, question):
    then = dict(question["then"])
    body = question["ask"] | (
        {"detail": question["ask"].get("detail", "full")} if question["call"] == "evaluations" else {}
    )
    response = client.post(f"/v1/{question['call']}", json=body)
    assert response.status_code == then.pop("status", 200), response.text
    reply = response.get_json()
    assert then.pop("says", "") in response.text
    verdicts = {entry["check"]: entry["verdict"] for entry in reply.get("checks", ())}
    for check, allowed in then.pop("verdicts", {}).items():
        assert verdicts.get(check) in allowed
    assert set(then.pop("asks", ())) <= {asked["input"] for asked in reply.get("questions", ())}
    for path, end in then.pop("limits", {}).items():
        told = next(limit for limit in reply["limits"] if limit["input"] == path)
        assert end in told.get("edge", told.get("comfortable", {}))
    assert then == {}


@pytest.mark.parametrize(
    "question", [pytest.param(one, id=name) for name, one in QUESTIONS.items() if "cannot" in one]
)
def test_why_no_call_answers_it_is_written_down(question):
    assert question["cannot"] in PAPER
