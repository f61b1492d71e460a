"""Limits: inside them the verdict is kept, one step past them it is not."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.advice.limits import LimitsRequest, limits
from service.errors import SpecError
from tests.support.builds import builds, with_change

SEVERITY = {"not_checked": -1, "pass": 0, "warn": 1, "fail": 2}
MOVED = [
    "induction.boost",
    "engine.compression_ratio",
    "target.power",
    "fuel_system.injector_flow",
    "clutch.torque_rating",
]
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
    "target": {"power": "500 hp", "power_at": "crank"},
}


def ask(evaluator, build, *inputs, **rest):
    return limits(evaluator, LimitsRequest(build, inputs, units="us", **rest))


def value_in(path, value):
    group, _, name = path.partition(".")
    return {group: {name: value}}


def test_the_most_power_on_these_injectors(real_rules):
    """By hand: 8 x 42 lb/h at 85 % feed 285.6 lb/h, which is 519.3 hp at 0.55."""
    (limit,) = ask(real_rules, DUTY, "target.power", checks=("injector-duty",))["limits"]
    assert limit["at_most"] == {"text": "515 hp", "set": "515 hp", "stopped_by": "injector-duty"}
    assert limit["text"].startswith("Target power: at most 515 hp, stopped by injectors")
    assert "at_least" not in limit and limit["now"] == "500 hp"


def test_an_input_that_is_not_given_can_be_asked_for(real_rules):
    build = {**DUTY, "target": {"power_at": "crank"}}
    answer = ask(real_rules, build, "target.power", checks=("injector-duty",), verdict="pass")
    assert answer["verdict"] == "not_checked"
    assert answer["limits"][0]["at_most"]["set"] == "515 hp" and "now" not in answer["limits"][0]


@settings(max_examples=30)
@given(build=builds(), path=st.sampled_from(MOVED), allowed=st.sampled_from(["pass", "warn"]))
def test_a_limit_holds_and_the_next_step_does_not(real_rules, reply_to, build, path, allowed):
    checks = ("knock-margin", "injector-duty", "clutch-torque", "charge-temperature")
    (limit,) = ask(real_rules, build, path, checks=checks, verdict=allowed)["limits"]
    for end in ("at_least", "at_most"):
        if end in limit:
            answer = reply_to(with_change(build, value_in(path, limit[end]["set"])), checks=checks)
            assert all(SEVERITY[entry["verdict"]] <= SEVERITY[allowed] for entry in answer["checks"])
            assert limit[end]["stopped_by"] in checks
    if "stopped_by" in limit:
        assert "will do" in limit["text"] and not {"at_least", "at_most"} & set(limit)


def test_without_names_the_levers_given_are_moved(real_rules):
    moved = {limit["input"] for limit in ask(real_rules, DUTY, checks=("injector-duty",))["limits"]}
    assert moved == {"fuel_system.injector_flow", "fuel_system.rail_pressure", "target.power"}


def test_where_nothing_will_do_the_check_is_named(real_rules):
    build = with_change(DUTY, {"clutch": {"torque_rating": "50 N.m"}, "target": {"torque": "500 N.m"}})
    (limit,) = ask(real_rules, build, "fuel_system.injector_flow", checks=("injector-duty", "clutch-torque"))[
        "limits"
    ]
    assert limit["stopped_by"] == "clutch-torque" and limit["text"].startswith("No injector flow between")


def test_what_cannot_be_moved_is_refused_by_name(real_rules):
    with pytest.raises(SpecError) as caught:
        ask(real_rules, DUTY, "target.power", "induction.kind")
    assert [(fault.pointer, fault.code) for fault in caught.value.faults] == [("/inputs/1", "not-movable")]


METHANOL = {
    "engine": {"compression_ratio": 9, "peak_power_speed": "6000 rpm"},
    "induction": {"kind": "turbo"},
    "fuel": {"grade": "methanol"},
    "fuel_system": {"delivery": "port"},
    "charge_cooling": {"charge_temperature": "30 degC"},
}


@pytest.mark.parametrize("boost", [None, "20 psi", "45 psi"])
def test_where_the_model_ends_the_input_ends(real_rules, boost):
    """2.2 bar, 31.9 psi, is the most the knock model was held against: past it nothing passes."""
    build = with_change(METHANOL, value_in("induction.boost", boost)) if boost else METHANOL
    (limit,) = ask(real_rules, build, "induction.boost", checks=("knock-margin",), verdict="warn")["limits"]
    assert limit["at_most"] == {"text": "31.9 psi", "set": "31.9 psi", "stopped_by": "knock-margin"}
    assert "at_least" not in limit and "the edge of what is modelled" in limit["text"]


def test_an_end_set_by_another_input_does_not_stop_this_one(real_rules):
    build = with_change(METHANOL, value_in("induction.boost", "45 psi"))
    (limit,) = ask(real_rules, build, "engine.compression_ratio", checks=("knock-margin",))["limits"]
    assert not {"at_least", "at_most", "stopped_by"} & set(limit)
