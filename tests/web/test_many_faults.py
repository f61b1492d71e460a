"""A body full of faults costs no more than a good one: what is wrong is looked at until an answer is full,
and no further.
"""

import pytest

from service.evaluation.reading.spec_in_hand import MAX_FAULTS
from service.web.api.requests import figures, lone_number

# The figures of such a body, without its structure.
MANY = 2000


@pytest.fixture
def read(monkeypatch):
    """How often a number was read, by module."""
    counts = {}

    def counting(module):
        own = module.read_number

        def read_number(value, form):
            counts[module] = counts.get(module, 0) + 1
            return own(value, form)

        monkeypatch.setattr(module, "read_number", read_number)

    counting(figures)
    counting(lone_number)
    return counts


def refused(response):
    assert response.status_code == 422
    return response.get_json()["errors"]


def test_curves(client, read):
    pull = [{"speed": "9 qqq", "value": "9 qqq"}] * 250
    faults = refused(
        client.post("/v1/dyno-comparisons", json={"quantity": "power", "a": [pull] * 4, "b": [pull] * 4})
    )
    assert len(faults) == MAX_FAULTS and read[figures] == MAX_FAULTS


def test_a_good_curve_is_read_whole(client, read):
    pulls = [
        [{"speed": f"{3000 + 10 * place} rpm", "value": f"{200 + own} hp"} for place in range(100)]
        for own in range(3)
    ]
    assert (
        client.post("/v1/dyno-comparisons", json={"quantity": "power", "a": pulls, "b": pulls}).status_code
        == 200
    )
    assert read[figures] == 2 * 3 * 100 * 2


def test_columns(client, read):
    faults = refused(
        client.post(
            "/v1/sweeps",
            json={"build": {}, "columns": {"induction.boost": ["9 psi", "9 qqq"] + ["9 qqq"] * MANY}},
        )
    )
    assert [(fault["code"], fault["detail"][:12]) for fault in faults] == [
        ("unknown-unit", "Candidate 1:")
    ] and read[lone_number] == 2


def test_parts(catalog_client):
    parts = {f"slot{number}": "none" for number in range(MANY)}
    for path, body in (
        ("/v1/evaluations", {"build": {"parts": parts}}),
        ("/v1/limits", {"build": {"parts": parts}}),
    ):
        assert [
            (fault["pointer"], fault["code"]) for fault in refused(catalog_client.post(path, json=body))
        ] == [("/build/parts", "too-many")]
    (entry,) = catalog_client.post("/v1/evaluation-batches", json={"builds": [{"parts": parts}]}).get_json()[
        "builds"
    ]
    assert [fault["code"] for fault in entry["errors"]] == ["too-many"]


def test_the_first_builds_of_a_batch_with_faults_are_told_the_nearest_part(catalog_client):
    entries = catalog_client.post(
        "/v1/evaluation-batches", json={"builds": [{"parts": {"injectors": "IN-060-F0"}}] * 8}
    ).get_json()["builds"]
    assert [entry["errors"][0].get("suggestion") for entry in entries] == ["IN-060-F09"] * 5 + [None] * 3


def test_a_batch_names_ten_faults_of_a_build_where_a_single_call_names_fifty(catalog_client):
    build = {"engine": {f"unknown_{number}": 1 for number in range(200)}}
    [entry] = catalog_client.post("/v1/evaluation-batches", json={"builds": [build]}).get_json()["builds"]
    assert (
        len(entry["errors"]),
        len(refused(catalog_client.post("/v1/evaluations", json={"build": build}))),
    ) == (10, 50)
