"""The app under both evaluators, its contract, and the examples of openapi/."""

import json

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from tests.support.expected import app_with
from tests.support.places import CATALOG, EXAMPLES


@pytest.fixture(scope="session")
def apps():
    """The app under each of the two compilers of formulas, made when first asked for."""

    class Apps(dict):
        def __missing__(self, evaluator):
            self[evaluator] = app_with(EVALUATOR=evaluator)
            return self[evaluator]

    return Apps()


@pytest.fixture(scope="session")
def catalog_client():
    """The app with the fixed catalog."""
    return app_with(CATALOG=str(CATALOG)).test_client()


@pytest.fixture(scope="session")
def client(apps):
    """A client of the app as it ships; that the second compiler gives the same bytes has tests of its own."""
    return apps["compiled"].test_client()


@pytest.fixture(scope="session")
def evaluate(client):
    """The reply to a build that is taken."""

    def post(build, **rest):
        response = client.post("/v1/evaluations", json={"build": build} | rest)
        assert response.status_code == 200, response.text
        return response.get_json()

    return post


@pytest.fixture(scope="session")
def judged(evaluate):
    """The entry of one check that is judged."""

    def post(check, build, **rest):
        reply = evaluate(build, checks=[check], **{"detail": "full"} | rest)
        assert [entry["check"] for entry in reply["checks"]] == [check], reply
        return reply["checks"][0]

    return post


@pytest.fixture(scope="session")
def contract(apps):
    return apps["compiled"].test_client().get("/openapi.json").get_json()


@pytest.fixture(scope="session")
def fits(contract):
    """The complaints of the contract about a document, by the name of its schema."""
    return complaints_of(contract)


@pytest.fixture(scope="session")
def fits_closed(contract):
    """As fits, but objects of answers hold nothing that the contract does not name."""
    schemas = contract["components"]["schemas"]
    answers = {name: closed(schema) for name, schema in schemas.items() if not name.endswith("Request")}
    return complaints_of(contract | {"components": {"schemas": schemas | answers}})


def closed(schema):
    """A schema whose objects say by themselves what they hold, or hold nothing."""
    if isinstance(schema, list):
        return [closed(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    shut = {key: closed(part) for key, part in schema.items()}
    is_object = schema.get("type") == "object" and "additionalProperties" not in schema
    return shut | {"unevaluatedProperties": False} if is_object else shut


def complaints_of(contract):
    registry = Registry().with_resource("contract", DRAFT202012.create_resource(contract))

    def complaints(schema, document):
        validator = Draft202012Validator(
            {"$ref": f"contract#/components/schemas/{schema}"}, registry=registry
        )
        return [f"{error.json_path}: {error.message}" for error in validator.iter_errors(document)]

    return complaints


@pytest.fixture(scope="session")
def example():
    """One of openapi/examples by its name."""

    def read(name):
        return json.loads((EXAMPLES / f"{name}.json").read_text())

    return read


@pytest.fixture(scope="session")
def demo(example):
    return example("demo")["request"]["build"]
