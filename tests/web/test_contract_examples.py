"""Every request and every answer has an example in the contract, and each fits its schema."""

import json
import re

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from tests.web.contract_examples import WITHOUT, cut


@pytest.fixture(scope="module")
def operations(contract):
    return {
        operation["operationId"]: (path, operation)
        for path, item in contract["paths"].items()
        for operation in item.values()
    }


@pytest.fixture(scope="module")
def media_types(contract, operations):
    """Every media type of the contract: name, its schema's name, and its example."""
    contents = [(name, answer["content"]) for name, answer in contract["components"]["responses"].items()]
    for name, (_, operation) in operations.items():
        if "requestBody" in operation:
            contents.append((f"{name} request", operation["requestBody"]["content"]))
        contents.append((name, operation["responses"]["200"]["content"]))
    return {
        name: (media["schema"]["$ref"].rpartition("/")[2], media.get("example"))
        for name, content in contents
        for media in content.values()
    }


def test_every_media_type_has_an_example(media_types):
    assert {name for name, (_, example) in media_types.items() if example is None} == WITHOUT


def test_every_example_fits_and_holds_nothing_else(media_types, fits_closed):
    for name, (schema, example) in media_types.items():
        if example is not None:
            assert fits_closed(schema, example) == [], name


def test_every_request_that_is_shown_is_answered(catalog_client, operations):
    posts = {path: operation for path, operation in operations.values() if "requestBody" in operation}
    assert len(posts) == 12
    for path, operation in posts.items():
        example = operation["requestBody"]["content"]["application/json"]["example"]
        assert catalog_client.post(path, json=example).status_code == 200, path


def test_every_word_of_a_path_has_an_example(operations):
    words = [word for _, operation in operations.values() for word in operation.get("parameters", ())]
    assert all(word["example"] for word in words if word["in"] == "path")
    assert {word["in"] for word in words} == {"path", "query"}


def test_examples_of_words_fit(contract):
    """`examples` of an open word are words."""
    registry = Registry().with_resource("contract", DRAFT202012.create_resource(contract))
    for name, schema in contract["components"]["schemas"].items():
        validator = Draft202012Validator({"$ref": f"contract#/components/schemas/{name}"}, registry=registry)
        for example in schema.get("examples", ()):
            assert validator.is_valid(example), name


def test_what_is_cut():
    answer = {"list": [{"a": 1}] * 5, "values": list(range(9)), "digest": "sha256:" + "ab" * 32}
    assert cut(answer) == {
        "list": [{"a": 1}] * 2,
        "values": [0, 1, 2],
        "digest": f"sha256:{'0' * 64}",
    }


def reached(contract, name, seen):
    """The schemas that an answer is made of, by their names."""
    if name not in seen:
        seen.add(name)
        for reference in re.findall(r"#/components/schemas/(\w+)", json.dumps(schema_of(contract, name))):
            reached(contract, reference, seen)
    return seen


def schema_of(contract, name):
    return contract["components"]["schemas"][name]


def test_no_answer_closes_a_list_that_a_foreman_may_add_to(contract, client):
    """Zalando guidelines 107 and 112: what may grow in an answer is no enum."""
    page = client.get("/problems").get_json()
    growing = {one["code"] for kind in ("problems", "faults") for one in page[kind]}
    growing |= {one["check"] for one in client.get("/v1/checks").get_json()["checks"]}
    growing |= {one["input"] for one in client.get("/v1/inputs").get_json()["inputs"]}
    answers = set()
    for item in contract["paths"].values():
        for operation in item.values():
            for content in operation["responses"]["200"]["content"].values():
                reached(contract, content["schema"]["$ref"].rpartition("/")[2], answers)
    reached(contract, "Problem", answers)
    assert len(answers) > 40 and "Build" not in answers
    closed = {word for name in answers for words in enums(schema_of(contract, name)) for word in words}
    assert closed & growing == set() and {"pass", "warn", "fail"} <= closed


def enums(schema):
    if isinstance(schema, dict):
        if "enum" in schema:
            yield schema["enum"]
        for part in schema.values():
            yield from enums(part)
    elif isinstance(schema, list):
        for part in schema:
            yield from enums(part)
