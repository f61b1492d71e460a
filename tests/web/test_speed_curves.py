"""POST /v1/speed-curves: columns over the speed range, faults of the range, the same bytes every time."""

import pytest

BUILD = {
    "engine": {
        "displacement": "5.0 L",
        "volumetric_efficiency": 0.95,
        "redline": "6500 rpm",
        "peak_power_speed": "6000 rpm",
    },
    "induction": {"kind": "screw", "boost": "12 psi"},
    "charge_cooling": {"charge_temperature": "55 degC"},
}


@pytest.fixture
def curves(client):
    def post(build=BUILD, **rest):
        response = client.post("/v1/speed-curves", json={"build": build} | rest)
        assert response.status_code == 200, response.text
        return response.get_json()

    return post


@pytest.fixture
def faults(client):
    """The faults of a request that is refused, by pointer."""

    def post(**body):
        response = client.post("/v1/speed-curves", json=body)
        assert response.status_code == 422, response.text
        assert response.content_type == "application/problem+json"
        return {fault["pointer"]: fault for fault in response.get_json()["errors"]}

    return post


def test_columns_of_one_length_with_unit_and_label(curves, fits):
    answer = curves(speeds={"from": "2000 rpm", "to": "6000 rpm", "count": 5})
    assert fits("SpeedCurves", answer) == []
    speed, *columns = answer["columns"]
    assert (speed["quantity"], speed["unit"], speed["values"]) == (
        "speed",
        "rpm",
        pytest.approx([2000, 3000, 4000, 5000, 6000]),
    )
    assert {"boost", "manifold_pressure", "air_flow"} <= {column["quantity"] for column in columns}
    for column in columns:
        assert column["label"] and isinstance(column["unit"], str) and len(column["values"]) == 5
        assert all(value is None or value == float(f"{value:.10g}") for value in column["values"])


def test_sixteen_speeds_to_the_redline_unless_asked(curves):
    speeds = curves()["columns"][0]["values"]
    assert (len(speeds), speeds[0], speeds[-1]) == (16, pytest.approx(1500), pytest.approx(6500))


def test_units(curves):
    metric, us = (
        {column["quantity"]: column for column in curves(units=units)["columns"]}
        for units in ("metric", "us")
    )
    # NIST SP 811: 1 lb is 0.45359237 kg, 1 psi 6.894757 kPa.
    assert (metric["air_flow"]["unit"], us["air_flow"]["unit"]) == ("kg/h", "lb/h")
    assert us["air_flow"]["values"] == pytest.approx(
        [value / 0.45359237 for value in metric["air_flow"]["values"]], rel=1e-8
    )
    assert us["boost"]["values"] == pytest.approx([12] * 16)


def test_missing_columns_name_their_needs(curves):
    missing = {entry["quantity"]: entry["needs"] for entry in curves()["not_worked_out"]}
    assert any("engine.compression_ratio" in group for group in missing["knock_limited_phasing"])
    assert missing["injectors_open"]


def test_null_and_never_nan(client):
    # A rod of half the stroke cannot turn, so there is no knock limit to work out, nor what depends on it.
    engine = BUILD["engine"] | {
        "compression_ratio": 9,
        "bore": "90 mm",
        "stroke": "100 mm",
        "rod_length": "50 mm",
        "chamber_design": "four_valve",
    }
    response = client.post(
        "/v1/speed-curves", json={"build": BUILD | {"engine": engine, "fuel": {"ron": 98}}}
    )
    assert response.status_code == 200
    columns = {column["quantity"]: column["values"] for column in response.get_json()["columns"]}
    assert columns["knock_limited_phasing"] == [None] * 16 == columns["attainable_power"]
    assert None not in columns["air_flow"]
    assert b"NaN" not in response.data


def test_no_redline_is_a_fault_with_its_question(faults):
    fault = faults(build={"engine": {"displacement": "5 L"}})["/speeds"]
    assert fault["code"] == "missing"
    assert "redline" in fault["detail"] and "engine.redline" in fault["expected"]


@pytest.mark.parametrize(
    ("speeds", "pointer", "code"),
    [
        ({"from": "6000 rpm", "to": "2000 rpm"}, "/speeds/from", "out-of-range"),
        ({"from": "6000 rpm", "to": "6000 rpm"}, "/speeds/from", "out-of-range"),
        ({"from": "7000 rpm"}, "/speeds/from", "out-of-range"),
        ({"from": "1 rpm"}, "/speeds/from", "out-of-range"),
        ({"to": "90000 rpm"}, "/speeds/to", "out-of-range"),
        ({"from": "20 psi"}, "/speeds/from", "wrong-unit"),
        ({"to": None}, "/speeds/to", "wrong-type"),
        ({"count": 1}, "/speeds/count", "out-of-range"),
        ({"count": 201}, "/speeds/count", "out-of-range"),
        ({"count": 1.5}, "/speeds/count", "wrong-type"),
        ({"count": True}, "/speeds/count", "wrong-type"),
        ({"form": "2000 rpm"}, "/speeds/form", "unknown-key"),
        ([], "/speeds", "wrong-type"),
        ("2000 rpm to 6000 rpm", "/speeds", "wrong-type"),
    ],
)
def test_faults_of_the_range(faults, speeds, pointer, code):
    found = faults(build=BUILD, speeds=speeds)
    assert list(found) == [pointer]
    assert found[pointer]["code"] == code and found[pointer]["expected"]


def test_the_suggestion_for_a_misspelled_end(faults):
    assert faults(build=BUILD, speeds={"form": "2000 rpm"})["/speeds/form"]["suggestion"] == "from"


def test_faults_of_range_and_build_come_together(faults):
    found = faults(build={"engine": {"redline": "6500 mm"}}, speeds={"count": 0})
    assert set(found) == {"/speeds/count", "/build/engine/redline"}


@pytest.mark.parametrize("body", [{}, {"speeds": {}}])
def test_no_build(faults, body):
    assert faults(**body)["/build"]["code"] == "missing"


@pytest.mark.parametrize("key", ["detail", "moment", "checks"])
def test_words_of_evaluations_do_not_fit(faults, key):
    assert faults(build=BUILD, **{key: "dyno"})[f"/{key}"]["code"] == "unknown-key"


def test_a_pinned_rulebook(client, curves):
    digest = curves()["rulebook"]["digest"]
    assert curves(rulebook=digest) == curves()
    assert client.post("/v1/speed-curves", json={"build": BUILD, "rulebook": "sha256:0"}).status_code == 412


def test_the_same_bytes_twice_and_under_both_evaluators(apps):
    body = {"build": BUILD, "speeds": {"count": 40}}
    answers = {
        app.test_client().post("/v1/speed-curves", json=body).data
        for app in (apps["compiled"], apps["reference"])
        for _ in range(2)
    }
    assert len(answers) == 1


def test_a_tolerance_of_a_speed_is_refused_and_not_lost(faults):
    assert (
        faults(build=BUILD, speeds={"from": "3000 rpm ±50", "to": "6000 rpm"})["/speeds/from"]["code"]
        == "tolerance"
    )
