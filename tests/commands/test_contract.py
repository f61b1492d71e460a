"""The committed contract is the one the service would write, and it names every view."""

import copy
import re

import pytest
from openapi_spec_validator import validate

from service.__main__ import main
from service.app import create_app
from tests.support.places import ROOT
from tests.support.yaml_data import parse_yaml, read_yaml

COMMITTED = ROOT / "openapi" / "openapi.yaml"


@pytest.fixture(scope="module")
def app():
    return create_app()


@pytest.fixture(scope="module")
def document(app):
    return app.test_client().get("/openapi.json").get_json()


def operations(document):
    return {
        (verb.upper(), path): operation
        for path, verbs in document["paths"].items()
        for verb, operation in verbs.items()
    }


def differences(committed, served, place="", may_grow=False):
    """Where the committed contract is not the served one. What a foreman may add in YAML does not count:
    fields of the build, names in an enumeration, and how many checks may be asked for.
    """
    if isinstance(committed, dict) and isinstance(served, dict):
        if set(committed) - set(served) or (set(served) - set(committed) and not may_grow):
            yield place, sorted(set(committed) ^ set(served))
        for key in committed.keys() & served.keys():
            build = may_grow or place.endswith("schemas/Build")
            yield from differences(committed[key], served[key], f"{place}/{key}", build)
    elif place.endswith("/enum"):
        if not set(committed) <= set(served):
            yield place, sorted(set(committed) - set(served))
    elif place.endswith("/maxItems"):
        if committed > served:
            yield place, (committed, served)
    elif isinstance(committed, list) and isinstance(served, list) and len(committed) == len(served):
        for number, (old, new) in enumerate(zip(committed, served, strict=True)):
            yield from differences(old, new, f"{place}/{number}", may_grow)
    elif committed != served:
        yield place, (committed, served)


def test_the_committed_contract_is_current(capsys):
    assert main(["contract"]) == 0
    served = parse_yaml(capsys.readouterr().out)
    assert list(differences(read_yaml(COMMITTED), served)) == [], "run `make contract`"


def test_what_is_written_is_what_is_served(capsys, document):
    assert main(["contract"]) == 0
    assert parse_yaml(capsys.readouterr().out) == document


def test_a_field_of_a_reply_that_is_not_committed_is_seen(document):
    changed = copy.deepcopy(document)
    changed["components"]["schemas"]["Evaluation"]["properties"]["mood"] = {"type": "string"}
    assert list(differences(document, changed)) == [("/components/schemas/Evaluation/properties", ["mood"])]


def test_it_is_openapi_3_1(document):
    assert document["openapi"].startswith("3.1")
    validate(document)


def test_every_operation_is_a_view_and_every_view_an_operation(app, document):
    views = {}
    for rule in (rule for rule in app.url_map.iter_rules() if rule.endpoint.startswith("v1.")):
        path = re.sub(r"<(?:[^:<>]+:)?([^<>]+)>", r"{\1}", rule.rule)
        for verb in rule.methods - {"HEAD", "OPTIONS"}:
            views[verb, path] = app.view_functions[rule.endpoint].__name__
    assert {place: operation["operationId"] for place, operation in operations(document).items()} == views


def test_operation_ids_fit_tool_calling(document):
    ids = [operation["operationId"] for operation in operations(document).values()]
    assert len(set(ids)) == len(ids)
    assert all(re.fullmatch(r"[a-z][a-z0-9_]{0,63}", one) for one in ids)


def test_every_operation_says_what_it_does(document):
    assert all(operation["summary"].endswith(".") for operation in operations(document).values())


def test_parameters_are_those_of_the_path(document):
    for (_, path), operation in operations(document).items():
        assert {
            parameter["name"] for parameter in operation.get("parameters", ()) if parameter["in"] == "path"
        } == set(re.findall(r"\{(\w+)\}", path))


def test_the_build_has_every_input_and_nothing_else(document, app):
    schema = document["components"]["schemas"]["Build"]
    told = {one["input"] for one in app.test_client().get("/v1/inputs").get_json()["inputs"]}
    assert schema["additionalProperties"] is False
    described = set()
    # Part numbers stand beside the inputs: they fill them.
    for group, node in ((group, node) for group, node in schema["properties"].items() if group != "parts"):
        if f"{group}" in told:
            described.add(group)
            continue
        assert node["additionalProperties"] is False
        described |= {f"{group}.{name}" for name in node["properties"]}
    assert described == told


def test_the_checks_of_a_request_are_those_of_the_rules(document, app):
    told = [one["check"] for one in app.test_client().get("/v1/checks").get_json()["checks"]]
    asked = document["components"]["schemas"]["EvaluationRequest"]["properties"]
    assert asked["checks"]["items"] == asked["require"]["items"] == {"$ref": "#/components/schemas/CheckId"}
    assert document["components"]["schemas"]["CheckId"]["enum"] == told
