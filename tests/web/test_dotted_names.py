"""Dotted names as questions and limits write them, in every call that takes a build."""

import pytest

DOTTED = {"induction.boost": "15 psi", "sensors.manifold_pressure_range": "2 bar"}
GROUPED = {"induction": {"boost": "15 psi"}, "sensors": {"manifold_pressure_range": "2 bar"}}
CALLS = [
    ("evaluations", lambda build: {"build": build, "detail": "full"}),
    ("limits", lambda build: {"build": build, "inputs": ["induction.boost"]}),
    ("evaluation-batches", lambda build: {"builds": [build]}),
    ("build-comparisons", lambda build: {"builds": [{"build": {}}, {"build": build}]}),
    ("build-comparisons", lambda build: {"builds": [{"build": GROUPED}, {"change": build}]}),
]


@pytest.mark.parametrize(("call", "body"), CALLS)
def test_a_dotted_build_is_answered_as_a_grouped_one(client, call, body):
    replies = [client.post(f"/v1/{call}", json=body(build)) for build in (DOTTED, GROUPED)]
    assert [reply.status_code for reply in replies] == [200, 200], replies[0].text
    dotted, grouped = (reply.get_json() for reply in replies)
    assert dotted == grouped


def test_a_name_given_in_both_ways_is_refused(client):
    build = {"induction": {"boost": "15 psi"}, "induction.boost": "10 psi"}
    [fault] = client.post("/v1/evaluations", json={"build": build}).get_json()["errors"]
    assert (fault["pointer"], fault["code"]) == ("/build/induction.boost", "contradiction")
    [entry] = client.post("/v1/evaluation-batches", json={"builds": [build]}).get_json()["builds"]
    assert entry["status"] == 422


@pytest.mark.parametrize("group", [None, 5, [], "bore"])
def test_a_group_that_is_none_is_refused_beside_a_dotted_name(client, group):
    response = client.post("/v1/evaluations", json={"build": {"engine": group, "engine.bore": "4 in"}})
    assert response.status_code == 422
    assert [fault["pointer"] for fault in response.get_json()["errors"]] == ["/build/engine"]
