"""POST /v1/limits: what a client may ask, and how a wrong question is answered."""

import pytest

BUILD = {
    "engine": {"displacement": "2.0 L", "compression_ratio": 9.5, "peak_power_speed": "6000 rpm"},
    "induction": {"kind": "turbo"},
    "fuel": {"aki": 93},
}


@pytest.fixture
def post(client):
    return lambda **body: client.post("/v1/limits", json=body)


def test_an_answer_to_quote(post, fits):
    response = post(build=BUILD, inputs=["induction.boost"], checks=["knock-margin"], units="us")
    assert response.status_code == 200 and fits("Limits", response.get_json()) == []
    (limit,) = response.get_json()["limits"]
    assert limit["text"].startswith("Up to ") and limit["edge"]["at_most"]["stopped_by"] == "knock-margin"
    # What it rests on is named.
    assert set(limit["depends_on"]) <= {entry["input"] for entry in response.get_json()["assumptions"]}
    assert (
        post(build=BUILD, inputs=["induction.boost"], checks=["knock-margin"], units="us").data
        == response.data
    )


@pytest.mark.parametrize(
    ("body", "pointer", "code"),
    [
        ({}, "/build", "missing"),
        ({"build": BUILD, "inputs": ["induction.bost"]}, "/inputs/0", "unknown-word"),
        ({"build": BUILD, "inputs": ["induction.kind"]}, "/inputs/0", "not-movable"),
        ({"build": BUILD, "inputs": "induction.boost"}, "/inputs", "wrong-type"),
        ({"build": BUILD, "inputs": ["induction.boost"] * 25}, "/inputs", "wrong-type"),
        ({"build": BUILD, "verdict": "fail"}, "/verdict", "unknown-key"),
        ({"build": BUILD, "detail": "full"}, "/detail", "unknown-key"),
        ({"build": {"induction": {"boost": "12"}}}, "/build/induction/boost", "unit-missing"),
    ],
)
def test_a_wrong_question_is_told_what_fits(post, body, pointer, code):
    response = post(**body)
    assert response.status_code == 422
    assert (pointer, code) in [(fault["pointer"], fault["code"]) for fault in response.get_json()["errors"]]


def test_the_nearest_word_is_offered(post):
    (fault,) = post(build=BUILD, inputs=["induction.bost"]).get_json()["errors"]
    assert fault["suggestion"] == "induction.boost" and "GET /v1/inputs" in fault["expected"]


def test_another_rulebook_is_refused(post):
    assert post(build=BUILD, rulebook="sha256:0").status_code == 412
