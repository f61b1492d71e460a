"""GET /v1/words: the names of what a customer says."""

import pytest


def listed(client, words):
    response = client.get("/v1/words", query_string={"q": words})
    assert response.status_code == 200, response.text
    return response.get_json()


@pytest.mark.parametrize(
    ("words", "kind", "key", "name"),
    [
        ("blower pulley", "inputs", "input", "induction.blower_pulley_diameter"),
        ("boost", "inputs", "input", "induction.boost"),
        ("pump gas", "inputs", "input", "fuel.grade"),
        ("How wide are the tires?", "inputs", "input", "driveline.tyre_radius"),
        ("knock", "checks", "check", "knock-margin"),
        ("injectors", "slots", "slot", "injectors"),
        ("e85", "fuels", "grade", "e85"),
        ("boost from drive", "quantities", "quantity", "boost_from_drive"),
        ("60 lb/h injectors", "parts", "number", "IN-060-F09"),
        ("IN-060-F09", "parts", "number", "IN-060-F09"),
    ],
)
def test_what_is_meant_is_among_the_first(catalog_client, words, kind, key, name):
    assert name in [entry[key] for entry in listed(catalog_client, words)[kind]]


def test_what_is_named_so_comes_first(catalog_client):
    assert listed(catalog_client, "boost")["inputs"][0]["input"] == "induction.boost"


def test_every_name_can_be_used(catalog_client):
    found = listed(catalog_client, "clutch")
    assert all(
        catalog_client.get(f"/v1/inputs/{entry['input']}").status_code == 200 for entry in found["inputs"]
    )
    assert all(
        catalog_client.get(f"/v1/checks/{entry['check']}").status_code == 200 for entry in found["checks"]
    )
    assert all(
        catalog_client.get(f"/v1/parts/{entry['number']}").status_code == 200 for entry in found["parts"]
    )
    assert found["more"]["inputs"] > 1


def test_a_slip_of_the_pen_gets_the_nearest_word(client):
    assert listed(client, "clucth") == {"text": "Nothing fits these words.", "nearest": ["clutch"]}


def test_without_words_it_says_what_to_write(client):
    response = client.get("/v1/words")
    assert response.status_code == 422 and response.get_json()["errors"][0]["pointer"] == "?q"
