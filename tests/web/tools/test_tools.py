"""The tools for language models: of a size to read, honest about faults, thin over the calls."""

import json

import pytest

from service.web.tools.all_tools import BY_NAME, TOOLS
from service.web.tools.asking import Reply
from service.web.tools.compact import POSTS
from service.web.tools.interview import opening
from tests.support.places import EXAMPLES
from tests.support.tokens import tokens

MOST_OF_ALL, MOST_OF_ANSWER = 2000, 800
# The largest there are of what openapi/examples ask.
LARGE = {
    "kit": "judge_build",
    "demo": "judge_build",
    "requirements": "what_is_needed",
    "kit-requirements": "what_is_needed",
    "limits-boost": "how_far",
    "selection": "choose_parts",
    "dyno-comparison": "compare_pulls",
}


def size(answer):
    return tokens(answer.text) + (tokens(answer.content) if answer.content else 0)


def test_tokens_are_counted_as_the_vocabulary_has_them():
    # Known from the tokenizer's own documentation.
    assert tokens("hello world") == 2


@pytest.mark.parametrize("name", LARGE)
def test_an_answer_can_be_read(name, answer):
    asked = json.loads((EXAMPLES / f"{name}.json").read_text())["request"]
    tool = BY_NAME[LARGE[name]]
    found = answer(tool.name, **{key: value for key, value in asked.items() if key in tool.properties})
    assert not found.is_fault and 100 < size(found) < MOST_OF_ANSWER


@pytest.mark.parametrize("words", ["clutch", "boost", "turbo", "blower pulley", "injectors", "fuel pump"])
def test_what_is_looked_up_can_be_read(words, answer):
    assert 100 < size(answer("look_up", words=words)) < MOST_OF_ANSWER


def test_the_text_is_what_the_service_says_aloud(service, answer):
    asked = {"build": POSTS[0].example["build"], "units": "us"}
    spoken = service.post("/v1/evaluations", asked | {"detail": "spoken"}).body
    found = answer("judge_build", **asked)
    said = " ".join([spoken["headline"], spoken.get("say", ""), spoken["question"]["ask"]])
    assert found.text.startswith(said.replace("  ", " "))
    assert found.content["verdict"] == spoken["verdict"]


def test_what_can_hurt_keeps_its_caution(answer):
    found = answer(
        "judge_build", build={"clutch": {"torque_rating": "250 lb-ft"}, "target": {"torque": "400 lb-ft"}}
    )
    assert found.content["verdict"] == "fail"
    assert "burst" in found.content["cautions"][0] and found.content["cautions"][0] in found.text


def test_a_plan_can_be_put_in_and_judged_again(answer):
    build = json.loads((EXAMPLES / "kit.json").read_text())["request"]["build"]
    first = answer("judge_build", build=build)
    again = answer("judge_build", build=build | first.content["fix"]["set"])
    assert (first.content["verdict"], again.content["verdict"]) == ("fail", "warn")


def test_a_fault_teaches(answer):
    found = answer("judge_build", build={"induction": {"boost": "0.8", "kind": "trubo"}})
    assert found.is_fault and found.content is None
    assert "/build/induction/kind" in found.text and "Did you mean turbo?" in found.text
    assert "Did you mean 0.8 bar or 0.8 psi?" in found.text


@pytest.mark.parametrize(
    ("tool", "given", "says"),
    [
        ("judge_build", {"spec": {}}, "has no argument 'spec'; it has: build"),
        ("judge_build", {}, "/build"),
        ("judge_build", {"build": []}, "/build"),
        ("how_far", {"build": {}, "inputs": ["induction.bost"]}, "induction.boost"),
        ("how_far", {"build": {}, "inputs": [], "reach": {"quantity": "boost", "value": "10 psi"}}, "/find"),
        ("choose_parts", {"build": {}, "slots": ["injector"]}, "injectors"),
        ("compare_pulls", {"a": ["401 hp"], "b": []}, "/b"),
        ("look_up", {}, "no words"),
    ],
)
def test_every_fault_says_how_to_go_on(tool, given, says, answer):
    found = answer(tool, **given)
    assert found.is_fault and says in found.text, found.text


def test_without_a_catalog_the_refusal_says_who_can_help():
    class NoCatalog:
        def post(self, path, body):
            return Reply(422, {"detail": "No catalog of parts is loaded. Start the service with CATALOG."})

    found = BY_NAME["choose_parts"].answer(NoCatalog(), {"build": {}, "slots": ["clutch"]})
    assert found.is_fault and "CATALOG" in found.text


def test_the_interview_keeps_to_what_was_agreed():
    text = opening("I have a 5.0")
    for promise in ("Never invent a number", "in their order", "headline", "assumed", "makers' instructions"):
        assert promise in text
    assert text.endswith("The customer says: I have a 5.0")


def test_there_are_six_at_most():
    assert len(TOOLS) <= 6 and all(tool.name in opening() for tool in TOOLS)
