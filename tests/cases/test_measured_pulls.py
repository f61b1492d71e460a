"""Pulls that people published, compared as the service compares them: nothing is called real that one pull a
side cannot show.
"""

from pathlib import Path

import pytest

from service.app import create_app
from tests.support.yaml_data import read_yaml

BUILDS = read_yaml(Path(__file__).parent / "builds.yaml")["builds"]
MEASURED = [
    pytest.param(build, id=build["id"]) for build in BUILDS if {"a", "b"} <= set(build.get("pulls", {}))
]
# The words of the cases for the service's own.
SAID = {"real": "pass", "not_shown": "fail", "cannot_be_told": "not_checked"}


@pytest.fixture(scope="module")
def client():
    return create_app().test_client()


def test_there_are_cases():
    assert len(MEASURED) >= 2


@pytest.mark.parametrize("build", MEASURED)
def test_the_verdict_is_one_that_is_allowed(client, build):
    pulls = build["pulls"]
    expected = next(expect for expect in build["expect"] if expect["check"] == "dyno-comparison")
    answer = client.post(
        "/v1/dyno-comparisons", json={"quantity": "power", "a": pulls["a"]["power"], "b": pulls["b"]["power"]}
    ).get_json()
    assert SAID[answer["verdict"]] in expected["verdicts"], expected["why"]
