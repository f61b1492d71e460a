"""Parts, selections, batches and sweeps over HTTP."""

import pytest

TARGET = {"power": "450 hp", "power_at": "crank"}


@pytest.fixture
def post(catalog_client):
    def post_body(path, **body):
        return catalog_client.post(path, json=body)

    return post_body


def faults(response):
    assert response.status_code == 422, response.text
    return {
        fault["pointer"]: (fault["code"], fault.get("suggestion")) for fault in response.get_json()["errors"]
    }


def test_a_part_gives_its_fields_and_is_named(post):
    answer = post(
        "/v1/evaluations",
        build={"parts": {"injectors": "IN-060-F09"}, "target": TARGET},
        units="us",
        detail="full",
    ).get_json()
    assert answer["parts"] == [
        {
            "slot": "injectors",
            "number": "IN-060-F09",
            "title": "Set of eight injectors, 60 lb/h at 43.5 psi, flat plug",
        }
    ]
    assert set(answer["catalog"]) == {"version", "digest"}
    # By hand: 7.0 lb of air over 14.65 at lambda 0.82 is 0.5827 lb/hp/h; 450 hp take 262.2 of 480 lb/h.
    duty = next(entry for entry in answer["checks"] if entry["check"] == "injector-duty")
    assert duty["value"]["value"] == pytest.approx(54.63, abs=0.01)


def test_a_field_given_explicitly_wins(post):
    answer = post(
        "/v1/evaluations",
        build={
            "parts": {"injectors": "IN-060-F09"},
            "fuel_system": {"injector_flow": "30 lb/h"},
            "target": TARGET,
        },
        checks=["injector-duty"],
    ).get_json()
    assert answer["checks"][0]["value"]["value"] == pytest.approx(109.26, abs=0.01)


def test_parts_that_do_not_go_together_fail_whatever_else(post):
    answer = post(
        "/v1/evaluations",
        build={
            "parts": {"clutch": "CL-1OR-85", "gearbox": "GB-680-297"},
            "target": {"torque": "200 N.m", "torque_at": "crank"},
        },
    ).get_json()
    assert answer["verdict"] == "fail" and "fits input shaft" in answer["headline"]
    assert answer["misfits"][0]["over"] == "input_shaft"


@pytest.mark.parametrize(
    ("path", "more"),
    [
        ("/v1/limits", {"inputs": ["target.torque"]}),
        ("/v1/sweeps", {"columns": {"target.torque": ["200 N.m", "300 N.m"]}}),
    ],
)
def test_other_calls_name_what_does_not_go_together(post, path, more):
    response = post(
        path,
        build={"parts": {"clutch": "CL-1OR-85", "gearbox": "GB-680-297"}, "target": {"torque_at": "crank"}},
        checks=["clutch-torque"],
        **more,
    )
    assert response.status_code == 200 and response.get_json()["misfits"][0]["over"] == "input_shaft"


def test_faults_of_parts_and_of_the_rest_come_together(post):
    found = faults(
        post(
            "/v1/evaluations",
            build={
                "parts": {"injectors": "IN-060", "cluch": "CL-1OR-85", "gearbox": "CL-1OR-85"},
                "target": {"power": "450"},
            },
        )
    )
    assert found["/build/parts/injectors"] == ("unknown-part", "IN-060-F09")
    assert found["/build/parts/cluch"] == ("unknown-key", "clutch")
    assert found["/build/parts/gearbox"][0] == "wrong-slot"
    assert found["/build/target/power"][0] == "unit-missing"


def test_the_catalog_can_be_read(catalog_client, client):
    listed = catalog_client.get("/v1/parts")
    assert sum(len(slot["parts"]) for slot in listed.get_json()["slots"]) >= 150
    assert (
        catalog_client.get("/v1/parts", headers={"If-None-Match": listed.headers["ETag"]}).status_code == 304
    )
    one = catalog_client.get("/v1/parts/IN-060-F09").get_json()
    assert one["gives"]["fuel_system"]["injector_flow"] == "60 lb/h" and one["has"] == {
        "injector_plug": "flat"
    }
    missing = catalog_client.get("/v1/parts/IN-060")
    assert missing.status_code == 404 and missing.get_json()["suggestion"] == "IN-060-F09"
    assert client.get("/v1/parts").get_json() == {"slots": []}


def test_a_selection_needs_a_catalog(client):
    response = client.post("/v1/selections", json={"build": {}, "slots": ["injectors"]})
    assert (response.status_code, response.get_json()["code"]) == (422, "no-catalog")


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"build": {}}, "/slots"),
        ({"build": {}, "slots": []}, "/slots"),
        ({"build": {}, "slots": ["injector"]}, "/slots/0"),
        ({"build": {}, "slots": ["injectors"], "objective": "best"}, "/objective"),
        ({"build": {}, "slots": ["injectors"], "budget": "12"}, "/budget"),
        ({"build": {}, "slots": ["injectors"], "budget": -1}, "/budget"),
        ({"build": {}, "slots": ["injectors"], "in_stock": "yes"}, "/in_stock"),
        ({"build": {}, "slots": ["turbo"]}, "/slots/0"),
    ],
)
def test_a_wrong_selection_is_told_where(post, body, pointer):
    assert pointer in faults(post("/v1/selections", **body))


def test_batches_keep_their_order_and_bad_ones_their_place(post):
    builds = [
        {"parts": {"injectors": "IN-060-F09"}, "target": TARGET},
        {"parts": {"injectors": "none"}},
        {"parts": {"clutch": "CL-1OR-85", "gearbox": "GB-680-297"}},
        {"target": {"power": "1"}},
    ]
    answer = post("/v1/evaluation-batches", builds=builds, checks=["injector-duty"]).get_json()
    assert [entry["status"] for entry in answer["builds"]] == [200, 422, 200, 422]
    assert answer["builds"][0]["checks"][0]["value"]["text"] == "55 %"
    assert answer["builds"][2]["verdict"] == "fail" and answer["builds"][2]["misfits"]


def test_too_many_builds_are_refused_with_the_cap(post):
    found = post("/v1/evaluation-batches", builds=[{}] * 251)
    assert found.status_code == 422 and "250" in found.get_json()["errors"][0]["expected"]


def test_a_sweep_over_the_caps_is_refused_with_its_size(post, monkeypatch):
    build = {
        "target": {"power_at": "crank"},
        "fuel_system": {"injector_count": 8, "injector_flow": "60 lb/h"},
    }
    assert "/columns/target.power" in faults(
        post(
            "/v1/sweeps",
            build=build,
            columns={"target.power": {"from": "300 hp", "to": "600 hp", "count": 10001}},
        )
    )
    monkeypatch.setattr("service.advice.sweeps.MOST_CELLS", 50)
    response = post(
        "/v1/sweeps",
        build=build,
        columns={"target.power": {"from": "300 hp", "to": "600 hp", "count": 100}},
        checks=["injector-duty"],
    )
    assert (response.status_code, response.get_json()["code"]) == (422, "too-much-work")
    assert (
        "100 candidates times 1 checks" in response.get_json()["detail"]
        and "the most is 50" in response.get_json()["detail"]
    )


def test_columns_of_unequal_length_are_refused(post):
    found = faults(
        post(
            "/v1/sweeps",
            build={},
            columns={"target.power": ["300 hp", "400 hp"], "induction.boost": ["8 psi"]},
        )
    )
    assert found == {"/columns/induction.boost": ("unequal", None)}


@pytest.mark.parametrize(
    ("columns", "pointer"),
    [
        ({"target.powr": ["1 hp"]}, "/columns/target.powr"),
        ({"induction.kind": ["turbo"]}, "/columns/induction.kind"),
        ({"target.power": ["300"]}, "/columns/target.power"),
        ({"target.power": ["300 hp ±5"]}, "/columns/target.power"),
        ({"target.power": []}, "/columns/target.power"),
        ({}, "/columns"),
    ],
)
def test_a_wrong_column_is_told_where(post, columns, pointer):
    assert pointer in faults(post("/v1/sweeps", build={}, columns=columns))


def test_a_sweep_agrees_with_single_calls(post):
    build = {
        "fuel_system": {"injector_count": 8, "injector_flow": "42 lb/h"},
        "target": {"power_at": "crank"},
    }
    swept = post(
        "/v1/sweeps",
        build=build,
        columns={"target.power": ["300 hp", "450 hp", "600 hp"]},
        checks=["injector-duty"],
    ).get_json()
    for position, power in enumerate(("300 hp", "450 hp", "600 hp")):
        alone = post(
            "/v1/evaluations",
            build=build | {"target": {"power": power, "power_at": "crank"}},
            checks=["injector-duty"],
            detail="full",
        ).get_json()["checks"][0]
        assert swept["checks"][0]["verdict"][position] == alone["verdict"]
        assert swept["checks"][0]["value"][position] == pytest.approx(alone["value"]["value"], rel=1e-9)


def test_parts_that_do_not_go_together_fail_every_candidate(catalog_client, fits):
    build = {"parts": {"engine": "EN-20-T245", "kit": "KT-50-S6"}}
    boosts = {"from": "0.5 bar", "to": "2 bar", "count": 4}
    asked = {"build": build, "columns": {"induction.boost": boosts}}
    response = catalog_client.post("/v1/sweeps", json=asked)
    assert response.status_code == 200 and response.get_json()["misfits"]
    assert response.get_json()["verdict"] == ["fail"] * 4 and fits("Sweep", response.get_json()) == []
