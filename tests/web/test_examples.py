"""openapi/examples: what the docs show is what the service answers, and both keep to the contract."""

import json

import pytest
from openapi_spec_validator import validate

from tests.support.places import EXAMPLES

FILES = sorted((EXAMPLES).glob("*.json"))
SCHEMAS = {
    "/v1/evaluations": ("EvaluationRequest", "Evaluation"),
    "/v1/limits": ("LimitsRequest", "Limits"),
    "/v1/selections": ("SelectionRequest", "Selection"),
    "/v1/evaluation-batches": ("BatchRequest", "Batch"),
    "/v1/sweeps": ("SweepRequest", "Sweep"),
    "/v1/dyno-corrections": ("CorrectionsRequest", "Corrections"),
    "/v1/dyno-comparisons": ("ComparisonRequest", "Comparison"),
    "/v1/calibrations": ("CalibrationRequest", "Calibration"),
}
EXAMPLES = [pytest.param(json.loads(path.read_text()), id=path.stem) for path in FILES]


def test_the_contract_is_an_openapi_document(client):
    validate(client.get("/openapi.json").get_json())


@pytest.mark.parametrize("example", EXAMPLES)
def test_example(client, catalog_client, fits, example):
    assert set(example) - {"path", "needs"} == {"about", "request", "status"} and "\n" not in example["about"]
    path = example.get("path", "/v1/evaluations")
    response = (catalog_client if "needs" in example else client).post(path, json=example["request"])
    assert response.status_code == example["status"]
    if example["status"] == 200:
        assert response.mimetype == "application/json"
        assert fits(SCHEMAS[path][0], example["request"]) == []
        assert fits(SCHEMAS[path][1], response.get_json()) == []
    else:
        assert response.mimetype == "application/problem+json"
        assert fits("Problem", response.get_json()) == []
        assert response.get_json()["status"] == example["status"]


@pytest.mark.parametrize("detail", ["verdict", "summary", "full"])
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
    request = example("demo")["request"]
    reply = client.post("/v1/evaluations", json=request).get_json()
    verdicts = {entry["check"]: entry["verdict"] for entry in reply["checks"]}
    assert {check: verdicts.get(check) for check in expected} == expected
    assert "clutch-facing-pressure" in {entry["check"] for entry in reply["not_checked"]}


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
