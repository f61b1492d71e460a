"""Every answer says which rulebook made it, and a call may pin the rulebook and the catalog it was written
for.
"""

import json

import pytest

from tests.support.places import EXAMPLES

BODIES = {
    f"/v1/{call}": json.loads((EXAMPLES / f"{name}.json").read_text())["request"]
    for call, name in {
        "evaluations": "demo",
        "evaluation-batches": "batch",
        "sweeps": "sweep",
        "selections": "selection",
        "limits": "limits-boost",
        "requirements": "requirements",
        "solutions": "solutions-pulley",
        "build-comparisons": "build-comparison",
        "dyno-corrections": "dyno-correction",
        "dyno-comparisons": "dyno-comparison",
        "calibrations": "calibration",
    }.items()
}
BODIES["/v1/speed-curves"] = {"build": BODIES["/v1/evaluations"]["build"]}
# They judge no part, so no catalog has a say in them.
WITHOUT_CATALOG = {"/v1/dyno-corrections", "/v1/dyno-comparisons"}


@pytest.fixture(scope="module")
def loaded(catalog_client):
    here = catalog_client.application.extensions["engine-build-rules"]
    return {"rulebook": here.rulebook.digest, "catalog": here.catalog.digest}


def test_these_are_all_calls(catalog_client):
    assert set(BODIES) == {
        rule.rule
        for rule in catalog_client.application.url_map.iter_rules()
        if "POST" in rule.methods and rule.endpoint.startswith("v1.")
    }


@pytest.mark.parametrize("path", BODIES)
def test_an_answer_says_what_made_it(catalog_client, loaded, path):
    answer = catalog_client.post(path, json=BODIES[path]).get_json()
    assert answer["rulebook"]["digest"] == loaded["rulebook"]
    assert path in WITHOUT_CATALOG or answer["catalog"]["digest"] == loaded["catalog"]


@pytest.mark.parametrize("path", BODIES)
def test_what_is_loaded_may_be_pinned(catalog_client, loaded, path):
    free, pinned = (
        catalog_client.post(path, json=BODIES[path]),
        catalog_client.post(path, json=BODIES[path] | loaded),
    )
    assert pinned.status_code == 200 and pinned.data == free.data


@pytest.mark.parametrize("what", ["rulebook", "catalog"])
@pytest.mark.parametrize("path", BODIES)
def test_what_is_not_loaded_is_told(catalog_client, loaded, path, what):
    response = catalog_client.post(path, json=BODIES[path] | loaded | {what: "sha256:" + "0" * 64})
    problem = response.get_json()
    assert (response.status_code, problem["code"], problem["loaded"]) == (
        412,
        f"{what}-not-loaded",
        loaded[what],
    )


def test_a_catalog_where_there_is_none(client, fits):
    response = client.post("/v1/evaluations", json={"build": {}, "catalog": "sha256:" + "0" * 64})
    problem = response.get_json()
    assert (response.status_code, problem["code"]) == (412, "catalog-not-loaded") and "loaded" not in problem
    assert fits("Problem", problem) == []


@pytest.mark.parametrize("value", [7, None, ["sha256:"], {}])
def test_a_pin_of_another_kind(catalog_client, value):
    response = catalog_client.post("/v1/evaluations", json={"build": {}, "catalog": value})
    assert response.status_code == 422 and [fault["pointer"] for fault in response.get_json()["errors"]] == [
        "/catalog"
    ]
