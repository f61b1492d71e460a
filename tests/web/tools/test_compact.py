"""/openapi-compact.json: the tools' calls as functions, valid, small, and every example answered."""

import json

import pytest
from jsonschema import Draft202012Validator
from openapi_spec_validator import validate

from service.web.tools.all_tools import TOOLS
from service.web.tools.compact import POSTS, compact_contract
from tests.support.tokens import tokens

MOST = 6000
CONTRACT = compact_contract()


def test_it_is_served_and_valid(client):
    response = client.get("/openapi-compact.json")
    assert response.status_code == 200 and response.get_json() == json.loads(json.dumps(CONTRACT))
    assert response.headers["ETag"] and response.headers["Cache-Control"] == "no-cache"
    validate(response.get_json())
    assert tokens(response.text) < MOST


def test_it_has_the_calls_of_the_tools():
    names = {item[method]["operationId"] for item in CONTRACT["paths"].values() for method in item}
    # One tool speaks to two calls.
    assert names == {tool.name for tool in TOOLS} | {"which_value"}


@pytest.mark.parametrize("call", POSTS, ids=lambda call: call.name)
def test_its_examples_are_answered_as_it_says(call, catalog_client):
    response = catalog_client.post(call.path, json=dict(call.example))
    assert response.status_code == 200, response.text
    schema = {"type": "object", "properties": dict(call.answer)}
    assert [error.message for error in Draft202012Validator(schema).iter_errors(response.get_json())] == []
    assert set(call.answer) & response.get_json().keys()


@pytest.mark.parametrize("call", POSTS, ids=lambda call: call.name)
def test_the_whole_contract_takes_what_it_takes(call, contract):
    operation = contract["paths"][call.path]["post"]
    name = operation["requestBody"]["content"]["application/json"]["schema"]["$ref"].rpartition("/")[2]
    request, answer = contract["components"]["schemas"][name], operation["responses"]["200"]["content"]
    assert set(call.properties) <= set(request["properties"])
    assert set(request["required"]) <= set(call.required) <= set(call.properties)
    told = contract["components"]["schemas"][answer["application/json"]["schema"]["$ref"].rpartition("/")[2]]
    spoken = {"say", "question"}
    assert set(call.answer) <= told["properties"].keys() | spoken


@pytest.mark.parametrize("call", POSTS, ids=lambda call: call.name)
def test_every_word_that_may_stand_there_is_taken(call, catalog_client):
    for name, shape in call.properties.items():
        for word in shape.get("enum", ()):
            response = catalog_client.post(call.path, json=dict(call.example) | {name: word})
            faulty = [fault["pointer"] for fault in response.get_json().get("errors", ())]
            assert f"/{name}" not in faulty, response.text


def test_words_are_looked_up_as_its_example_says(client):
    [parameter] = CONTRACT["paths"]["/v1/words"]["get"]["parameters"]
    assert client.get("/v1/words", query_string={"q": parameter["example"]}).get_json()["inputs"]
