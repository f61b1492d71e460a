"""What clears a contradiction up is asked first, in its own words; what was given is not asked again."""

import re

import pytest

from service.evaluation.request import Request
from tests.support.random_builds import random_builds
from tests.support.rules import real_evaluator, real_rulebook

# 2.3 L at 6.6 to 3 in on 5.0 L make far more than 10 psi; how much is held in tests/published/test_blower.py.
DRIVE = {
    "engine": {"displacement": "5.0 L", "cylinders": 8, "peak_power_speed": "6500 rpm"},
    "induction": {
        "kind": "screw",
        "boost": "10 psi",
        "blower_displacement": "2.3 L",
        "crank_pulley_diameter": "6.6 in",
        "blower_pulley_diameter": "3 in",
    },
}
NATURAL = {"induction": {"kind": "natural", "boost": "12 psi"}}


def answer(build, units="us"):
    return real_evaluator().evaluate(Request(build, units=units, detail="full"))


@pytest.mark.parametrize(
    ("build", "path", "ask"),
    [
        (DRIVE, "induction.boost", "Is there a bypass or a wastegate, or is one pulley wrong?"),
        (NATURAL, "induction.kind", "Is there a turbo or a blower, or is the boost figure wrong?"),
    ],
)
def test_a_contradiction_asks_its_own_question_first(build, path, ask):
    reply = answer(build)
    assert reply["contradictions"]
    first = reply["questions"][0]
    assert (first["input"], first["ask"]) == (path, ask)


def test_the_drive_is_named_with_the_boost_it_makes():
    [contradiction] = answer(DRIVE)["contradictions"]
    assert re.fullmatch(r"This drive makes about [0-9.]+ psi of boost, not 10 psi\.", contradiction["text"])
    assert contradiction["reading"] == "I've judged it at the boost you give."


def test_what_was_given_is_not_asked_for_again():
    rulebook = real_rulebook()
    own = {
        contradiction.ask
        for check in rulebook.checks.values()
        for contradiction in check.contradictions
        if contradiction.ask
    }
    asked = 0
    for build in random_builds(120, seed=15):
        given = {
            f"{group}.{name}" if isinstance(fields, dict) and "unit" not in fields else group
            for group, fields in build.items()
            for name in (fields if isinstance(fields, dict) else [""])
        }
        for question in answer(build)["questions"]:
            asked += 1
            assert question["input"] not in given or question["ask"] in own, question
    assert asked > 1000
