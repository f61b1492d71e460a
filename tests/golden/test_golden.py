"""Golden answers: regression pins over the fixed catalog, for other teams' integration tests as well."""

import json

import pytest

from tests.golden.pins import HERE, answers, pinned

NAMES = list(json.loads((HERE / "requests.json").read_text(encoding="utf-8")))


@pytest.fixture(scope="module")
def now():
    return answers()


@pytest.mark.parametrize("name", NAMES)
def test_the_answer_is_the_pinned_one(now, name):
    assert now[name] == pinned(name), "run `make golden`, read the difference, commit it if it is meant"


def test_nothing_is_pinned_that_nobody_asks_for():
    assert {path.stem for path in (HERE / "answers").glob("*.json")} == set(NAMES)
