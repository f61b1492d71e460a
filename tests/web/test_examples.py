"""openapi/examples: what the docs show is what the service answers, and both keep to the contract."""

import json

import pytest
from openapi_spec_validator import validate

from tests.support.places import EXAMPLES

FILES = sorted((EXAMPLES).glob("*.json"))
EXAMPLES = [pytest.param(json.loads(path.read_text()), id=path.stem) for path in FILES]


@pytest.fixture(scope="module")
def schemas(contract):
    """The names of the schemas of a path: of its request and of its answer."""

    def name(content):
        return content["application/json"]["schema"]["$ref"].rpartition("/")[2]

    def of(path):
        post = contract["paths"][path]["post"]
        return name(post["requestBody"]["content"]), name(post["responses"]["200"]["content"])

    return of


def test_the_contract_is_an_openapi_document(contract):
    validate(contract)


@pytest.mark.parametrize("example", EXAMPLES)
def test_example(client, catalog_client, fits, schemas, example):
    assert set(example) - {"path", "needs"} == {"about", "request", "status"} and "\n" not in example["about"]
    path = example.get("path", "/v1/evaluations")
    response = (catalog_client if "needs" in example else client).post(path, json=example["request"])
    assert response.status_code == example["status"]
    if example["status"] == 200:
        assert response.mimetype == "application/json"
        asked, answered = schemas(path)
        assert fits(asked, example["request"]) == []
        assert fits(answered, response.get_json()) == []
    else:
        assert response.mimetype == "application/problem+json"
        assert fits("Problem", response.get_json()) == []
        assert response.get_json()["status"] == example["status"]


def every_request():
    """The examples, the evaluations among them at every detail with all that can be included."""
    for parameters in EXAMPLES:
        (example,) = parameters.values
        path = example.get("path", "/v1/evaluations")
        yield path, example["request"]
        if path == "/v1/evaluations" and example["status"] == 200:
            for detail in ("spoken", "summary", "full"):
                more = {"include": ["ranges", "questions", "remedies"], "moment": "dyno"}
                yield path, example["request"] | more | {"detail": detail}
            yield "/v1/speed-curves", {"build": example["request"]["build"]}


def test_no_reply_holds_a_key_that_the_contract_does_not_name(catalog_client, fits_closed, schemas):
    strays = set()
    for path, request in every_request():
        response = catalog_client.post(path, json=request)
        name = schemas(path)[1] if response.status_code == 200 else "Problem"
        strays |= {(path, complaint) for complaint in fits_closed(name, response.get_json())}
    assert strays == set()


def every_page(client):
    """Every page, those with a name in their path for every name."""
    contract = client.get("/openapi.json").get_json()
    for path, item in contract["paths"].items():
        if "get" not in item or path in ("/openapi.json", "/metrics"):
            continue
        content = item["get"]["responses"]["200"]["content"]["application/json"]
        name = content["schema"]["$ref"].rpartition("/")[2]
        folder, _, word = path.partition("/{")
        if needed := [
            word
            for word in item["get"].get("parameters", ())
            if word.get("required") and word["in"] == "query"
        ]:
            yield name, f"{path}?" + "&".join(f"{word['name']}={word['example']}" for word in needed)
            continue
        for part in names_in(client.get(folder).get_json()) if word else [""]:
            yield name, f"{folder}/{part}" if word else path


def names_in(page):
    """The names that a list shows: the first word of each entry, for parts in each slot."""
    if "slots" in page:
        return [part["number"] for slot in page["slots"] for part in slot["parts"]]
    entries = next(iter(page.values()))
    return [next(iter(entry.values())) for entry in entries]


def test_no_page_holds_a_key_that_the_contract_does_not_name(catalog_client, fits_closed):
    pages = list(every_page(catalog_client))
    strays = {
        (path, complaint)
        for name, path in pages
        for complaint in fits_closed(name, catalog_client.get(path).get_json())
    }
    assert strays == set() and len(pages) > 250


def test_every_call_is_told_whole(contract):
    for path, item in contract["paths"].items():
        for operation in item.values():
            assert operation["tags"] and operation["operationId"] and operation["summary"], path
            assert operation["description"].endswith("."), path
            assert set(operation["tags"]) <= {tag["name"] for tag in contract["tags"]}, path


def test_a_key_that_the_contract_does_not_name_would_show(fits_closed):
    measure = {"value": 1.0, "unit": "", "text": "1"}
    assert fits_closed("Measure", measure) == [] and fits_closed("Measure", measure | {"stray": 1}) != []


@pytest.mark.parametrize("detail", ["spoken", "summary", "full"])
@pytest.mark.parametrize(
    "example", [one for one in EXAMPLES if one.values[0]["status"] == 200 and "path" not in one.values[0]]
)
def test_every_detail_keeps_to_the_contract(client, fits, example, detail):
    reply = client.post("/v1/evaluations", json=example["request"] | {"detail": detail}).get_json()
    assert fits("Evaluation", reply) == []
    assert reply["verdict"] in ("pass", "warn", "fail", "not_checked")


def test_the_demo_shows_every_kind_of_verdict(client, example):
    # Only these checks: others may be added and judge the same build.
    expected = {
        "injector-duty": "fail",
        "clutch-torque": "warn",
        "manifold-pressure-range": "pass",
        "spec-consistency": "pass",
    }
    request = example("demo")["request"] | {"include": ["needs"]}
    reply = client.post("/v1/evaluations", json=request).get_json()
    verdicts = {entry["check"]: entry["verdict"] for entry in reply["checks"]}
    assert {check: verdicts.get(check) for check in expected} == expected
    assert "clutch-facing-pressure" in reply["open"]["checks"]


def test_faults_are_all_named(client, example):
    reply = client.post("/v1/evaluations", json=example("faults")["request"]).get_json()
    assert {fault["pointer"]: fault.get("suggestion") for fault in reply["errors"]} == {
        "/detail": None,
        "/build/engine/cylindres": "cylinders",
        "/build/engine/displacement": "2.0 L",
        "/build/induction/kind": "turbo",
        "/build/induction/boost": "1.0 bar",
        "/build/fuel_system/injector_flow": "60 lb/h",
        "/build/fuel_system/pump_flow": "255 L/h",
        "/build/sensors/manifold_pressure_range": "28.7 psi abs",
        "/build/target/power": "530 hp",
    }
