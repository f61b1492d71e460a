"""Every remedy offered does what it says, on the whole build."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.advice.remedies import add_remedies
from service.evaluation.request import Request
from tests.support.builds import BUILDS, builds, with_change
from tests.support.places import EXAMPLES

SEVERITY = {"not_checked": -1, "pass": 0, "warn": 1, "fail": 2}


@pytest.fixture(scope="module")
def fixed(real_rules):
    def reply(build, **rest):
        asked = Request(build, include=("remedies",), units="us", **rest)
        answer = real_rules.evaluate(asked)
        add_remedies(real_rules, asked, answer)
        return answer

    return reply


def verdicts(answer):
    return {entry["check"]: entry["verdict"] for entry in answer["checks"]}


@pytest.mark.slow
@settings(max_examples=60)
@given(
    build=builds(),
    checks=st.sampled_from([(), ("injector-duty", "fuel-pump-flow", "clutch-torque"), ("knock-margin",)]),
)
def test_a_remedy_put_into_the_build_does_what_it_says(fixed, build, checks):
    answer = fixed(build, checks=checks)
    before = verdicts(answer)
    for entry in answer["checks"]:
        for remedy in entry.get("remedies", ()):
            after = verdicts(fixed(with_change(build, remedy["set"]), checks=checks))
            assert after[entry["check"]] == "pass"
            assert remedy["fixes"] == [
                check for check, verdict in before.items() if verdict != "pass" and after.get(check) == "pass"
            ]
            worse = {
                check: verdict
                for check, verdict in after.items()
                if SEVERITY[verdict] > max(SEVERITY[before.get(check, "not_checked")], 0)
            }
            assert {broken["check"]: broken["to"] for broken in remedy["breaks"]} == worse
            assert remedy["verdict"] == max(after.values(), key=SEVERITY.__getitem__)


DUTY = {
    "fuel_system": {
        "injector_count": 8,
        "injector_flow": "42 lb/h",
        "injector_rated_fluid": "petrol",
        "injector_rated_pressure": "43.5 psi",
        "rail_pressure": "43.5 psi",
        "boost_referenced": "yes",
    },
    "fuel": {"brake_specific_consumption": "0.55 lb/hp/h"},
    "target": {"power": "550 hp", "power_at": "crank"},
}


def remedies(answer, check):
    return next(entry["remedies"] for entry in answer["checks"] if entry["check"] == check)


def test_the_least_injector_is_found(fixed):
    """By hand: 550 hp at 0.55 take 302.5 lb/h; over eight at 85 % 44.49 lb/h each: of those sold 48."""
    offered = remedies(fixed(DUTY, checks=("injector-duty",)), "injector-duty")
    assert {"fuel_system": {"injector_flow": "48 lb/h"}} in [remedy["set"] for remedy in offered]
    # 42 lb/h at 85 % of eight feed 285.6 lb/h, which is 519.3 hp at 0.55: 515 in steps of five.
    assert {"target": {"power": "515 hp", "power_at": "crank"}} in [remedy["set"] for remedy in offered]
    # The flow goes with the square root of the pressure: 43.5 psi times (44.49 / 42)^2 is 48.8 psi: 50.
    assert {"fuel_system": {"rail_pressure": "50 psi"}} in [remedy["set"] for remedy in offered]


def test_it_is_said_in_words_a_customer_hears(fixed):
    offered = remedies(fixed(DUTY, checks=("injector-duty",)), "injector-duty")
    assert "Injector flow: 48 lb/h or more instead of 42 lb/h." in [remedy["text"] for remedy in offered]


HALF_A_SPEC = json.loads((EXAMPLES / "remedies.json").read_text())["request"]["build"]


def with_little_air(kind, boost, power):
    """A known build whose clutch and fuel hold anything."""
    change = {
        "induction": {"boost": boost},
        "fuel_system": {"injector_flow": "80 lb/h", "pump_flow": "525 L/h"},
        "clutch": {"torque_rating": "900 N.m"},
        "target": {"power": power, "power_at": "crank"},
    }
    return with_change(BUILDS[kind], change)


def test_a_remedy_that_breaks_another_check_says_which(fixed, real_rules):
    """Less boost stops the knock and carries less power."""
    offered = remedies(fixed(with_little_air("5.0 L V8, screw blower", "13 psi", "500 hp")), "knock-margin")
    boost = next(remedy for remedy in offered if "induction" in remedy["set"])
    assert boost["breaks"] == [{"check": "power-from-airflow", "from": "pass", "to": "warn"}]
    check = real_rules.rulebook.checks["power-from-airflow"]
    assert "; then " in boost["text"] and (check.beyond or check.short) in boost["text"]
    # What breaks nothing is offered before it.
    assert offered.index(boost) > 0 and not offered[0]["breaks"]


def test_remedies_do_not_pull_one_input_both_ways(fixed):
    """Less boost for the fuel, more for the air: one of them is offered, and says so."""
    answer = fixed(with_little_air("1.8 L inline four, turbo", "10 psi", "200 hp"))
    offered = [remedy for entry in answer["checks"] for remedy in entry.get("remedies", ())]
    boosts = [remedy for remedy in offered if "induction" in remedy["set"]]
    assert len(boosts) == 1
    assert "More boost would fix the airflow instead; choose this one." in boosts[0]["text"]


def test_none_leaves_the_whole_failing(fixed):
    for build in (*BUILDS.values(), HALF_A_SPEC):
        for entry in fixed(build)["checks"]:
            assert all(remedy["verdict"] != "fail" for remedy in entry.get("remedies", ()))


def test_two_levers_where_no_single_one_does(fixed):
    build = {
        "usage": "marine",
        "engine": {
            "cylinders": 4,
            "bore": "90 mm",
            "stroke": "90 mm",
            "compression_ratio": 12.5,
            "peak_power_speed": "5500 rpm",
        },
        "induction": {"kind": "turbo", "boost": "30 psi"},
        "fuel": {"ron": 91},
        "charge_cooling": {"kind": "none"},
    }
    offered = remedies(fixed(build, checks=("knock-margin",)), "knock-margin")
    assert offered
    for remedy in offered:
        assert len([name for group in remedy["set"].values() for name in group]) == 2
        assert " and " in remedy["text"]
        assert (
            verdicts(fixed(with_change(build, remedy["set"]), checks=("knock-margin",)))["knock-margin"]
            == "pass"
        )


def test_what_passes_has_no_remedies(fixed):
    answer = fixed(with_change(DUTY, {"target": {"power": "400 hp"}}), checks=("injector-duty",))
    assert "remedies" not in answer["checks"][0]


def test_remedies_come_on_request_only(reply_to):
    assert all("remedies" not in entry for entry in reply_to(DUTY)["checks"])
