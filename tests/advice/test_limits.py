"""Limits: inside them the verdict is kept, one step past them it is not."""

import numpy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.advice.ladder import ladder_of
from service.advice.limits import LimitsRequest, limits
from service.advice.trial import Trial
from service.errors import SpecError
from service.evaluation.sweep import sweep
from tests.proof.monte_carlo import LEAST_INSIDE, blurred, drawn_leans, drawn_numbers
from tests.support.builds import BUILDS, builds, with_change

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


def one_limit(evaluator, build, path, *checks):
    (limit,) = ask(evaluator, build, path, checks=checks)["limits"]
    return limit


def test_the_most_power_on_these_injectors(real_rules):
    """By hand: 8 x 42 lb/h at 85 % feed 285.6 lb/h, which is 519.3 hp at 0.55; at 92 % 562.0 hp."""
    limit = one_limit(real_rules, DUTY, "target.power", "injector-duty")
    assert limit["state"] == "limited" and limit["now"] == "500 hp"
    for level, most in (("comfortable", 515), ("edge", 560)):
        end = limit[level]["at_most"]
        assert (end["value"], end["unit"], end["set"]) == (most, "hp", f"{most} hp")
        assert end["stopped_by"] == "injector-duty" and "at_least" not in limit[level]
    assert limit["text"].startswith("Up to 560 hp") and limit["text"].endswith("Comfortable up to 515 hp.")


def test_a_tolerance_widens_the_limit(real_rules):
    """By hand: 8 x 42 lb/h at 92 % feed 562.0 hp at 0.55 lb/hp/h, and 5 % of that are 28.1. What is assumed
    of the fluid makes 10 to either side by itself, with the flow known to 5 % sqrt(10^2 + 28.1^2) = 29.8,
    with the consumption as well sqrt(10^2 + 28.1^2 + 28.1^2) = 41.0.
    """
    bare = one_limit(real_rules, DUTY, "target.power", "injector-duty")
    flow = with_change(DUTY, value_in("fuel_system.injector_flow", "42 lb/h ±5 %"))
    both = with_change(flow, value_in("fuel.brake_specific_consumption", "0.55 lb/hp/h ±5 %"))
    for build, low, high in ((DUTY, 552, 572), (flow, 532, 592), (both, 521, 603)):
        limit = one_limit(real_rules, build, "target.power", "injector-duty")
        end = limit["edge"]["at_most"]
        # What is assumed is named where it decides, and not where a tolerance decides more.
        assert ("depending on" in limit["text"]) == (build is DUTY)
        assert end["value"] == bare["edge"]["at_most"]["value"]
        assert [end["range"]["low"], end["range"]["high"]] == pytest.approx([low, high], abs=6)


def test_a_tolerance_on_what_is_moved_goes_with_its_number(real_rules):
    build = with_change(DUTY, value_in("target.power", "500 hp ±5 %"))
    bare, limit = (
        one_limit(real_rules, asked, "target.power", "injector-duty")["edge"] for asked in (DUTY, build)
    )
    assert limit == bare


def test_an_input_that_is_not_given_can_be_asked_for(real_rules):
    build = {**DUTY, "target": {"power_at": "crank"}}
    limit = one_limit(real_rules, build, "target.power", "injector-duty")
    assert limit["comfortable"]["at_most"]["set"] == "515 hp" and "now" not in limit


DRAWS = 10_000
LEVELS = {"comfortable": "pass", "edge": "warn"}


@pytest.mark.parametrize("written", [dict, blurred], ids=["numbers", "with tolerances"])
@settings(max_examples=30)
@given(build=builds(), path=st.sampled_from(MOVED), level=st.sampled_from(list(LEVELS)))
def test_a_limit_holds_and_the_next_step_does_not(real_rules, reply_to, written, build, path, level):
    build = written(build)
    checks = ("knock-margin", "injector-duty", "clutch-torque", "charge-temperature")
    limit, known = one_limit(real_rules, build, path, *checks), real_rules.read(build)
    ladder = ladder_of(real_rules.rulebook, path, known, "us")

    def verdicts(rung):
        changed = with_change(build, value_in(path, ladder.json(rung)))
        return {entry["check"]: entry["verdict"] for entry in reply_to(changed, checks=checks)["checks"]}

    depending = Trial(real_rules, known, checks, {ladder.name: ladder.value(ladder.highest)}).depending()
    for way, end in limit.get(level, {}).items():
        rung, allowed = round(end["value"] / ladder.step), SEVERITY[LEVELS[level]]
        inside, past = verdicts(rung), verdicts(rung + (1 if way == "at_most" else -1))
        assert all(SEVERITY[inside[id]] <= allowed for id in depending & inside.keys())
        assert SEVERITY[past[end["stopped_by"]]] > allowed


@pytest.mark.slow
@pytest.mark.parametrize(
    ("title", "path", "check"),
    [
        ("5.3 L V8, turbo, half a spec", "target.power", "injector-duty"),
        ("5.0 L V8, screw blower", "induction.boost", "knock-margin"),
        ("1.8 L inline four, turbo", "target.power", "clutch-torque"),
        ("1.8 L inline four, turbo", "fuel_system.injector_flow", "injector-duty"),
    ],
)
def test_most_draws_within_the_tolerances_have_their_limit_in_the_range(real_rules, title, path, check):
    """Where the end of the range that is told as safe holds, and a step past the other does not."""
    build = blurred(BUILDS[title])
    limit, known = one_limit(real_rules, build, path, check), real_rules.read(build)
    ((way, end),) = limit["edge"].items()
    ladder = ladder_of(real_rules.rulebook, path, known, "us")

    def holds(number):
        changed = with_change(build, value_in(path, ladder.json(round(number / ladder.step))))
        known = real_rules.read(changed)
        plan = real_rules.plan(known, (check,))
        random = numpy.random.default_rng(7)
        columns = drawn_leans(plan, DRAWS, random) | drawn_numbers(known, DRAWS, random)
        return sweep(real_rules, plan, known, columns).checks[0].severity <= SEVERITY["warn"]

    low, high = (end["range"][side] for side in ("low", "high"))
    inside = (
        holds(low) & ~holds(high + ladder.step)
        if way == "at_most"
        else holds(high) & ~holds(low - ladder.step)
    )
    assert inside.mean() >= LEAST_INSIDE


def test_the_range_is_the_limit_solved_at_the_ends(real_rules):
    """With one assumption left open, given its ends the limits are the ends of the range."""
    build = with_change(DUTY, {"fuel_system": {"rail_pressure": None}})
    del build["fuel_system"]["rail_pressure"]
    told = one_limit(real_rules, build, "target.power", "injector-duty")["edge"]["at_most"]
    row = real_rules.rulebook.assumptions["injector_pressure_ratio"].rows[-1]
    ends = [
        one_limit(
            real_rules,
            with_change(build, value_in("fuel_system.rail_pressure", f"{43.5 * share} psi")),
            "target.power",
            "injector-duty",
        )["edge"]["at_most"]["value"]
        for share in (row.low, row.high)
    ]
    assert [told["range"]["low"], told["range"]["high"]] == pytest.approx(ends, abs=5)


@pytest.mark.parametrize(
    ("build", "path", "checks"),
    [
        ({"target": {"power": "600 hp"}}, "fuel_system.injector_flow", ("injector-duty",)),
        (
            {"target": {"power": "450 hp"}, "fuel_system": {"delivery": "carburettor"}},
            "intake.carburettor_flow",
            ("throttle-flow",),
        ),
        ({"fuel": {"aki": 91}}, "induction.boost", ()),
    ],
)
def test_what_was_not_looked_at_is_no_all_clear(real_rules, build, path, checks):
    answer = ask(real_rules, build, path, checks=checks)
    (limit,) = answer["limits"]
    assert limit["state"] == "not_judged" and limit["needs"] and answer["questions"]
    assert not {"comfortable", "edge"} & limit.keys() and "nothing" not in answer["headline"].lower()
    # The first question opens it.
    needed = {path for entry in limit["needs"] for group in entry["needs"] for path in group}
    assert answer["questions"][0]["input"] in needed


def test_a_limit_says_which_way_a_choice_not_made_turns_it(real_rules):
    """An engine without a charge cooler stands less boost (facts of the trade): both are told."""
    build = {
        "engine": {"compression_ratio": 9, "peak_power_speed": "6000 rpm"},
        "fuel": {"aki": 93},
        "induction": {"kind": "roots"},
    }
    limit = one_limit(real_rules, build, "induction.boost", "knock-margin")
    edge = limit["edge"]["at_most"]["value"]
    none = one_limit(
        real_rules,
        with_change(build, {"charge_cooling": {"kind": "none"}}),
        "induction.boost",
        "knock-margin",
    )
    assert f"{none['edge']['at_most']['text']} if none" in limit["text"]
    assert none["edge"]["at_most"]["value"] < edge and "charge_cooling.kind" in limit["depends_on"]


def test_free_names_what_was_looked_at(real_rules):
    build = {
        "induction": {"kind": "turbo", "boost": "8 psi"},
        "sensors": {"manifold_pressure_range": "10 bar"},
    }
    limit = one_limit(real_rules, build, "induction.boost", "manifold-pressure-range")
    assert limit["state"] == "free" and "manifold pressure sensor" in limit["text"]


def test_without_names_the_levers_given_are_moved(real_rules):
    moved = {limit["input"] for limit in ask(real_rules, DUTY, checks=("injector-duty",))["limits"]}
    assert moved == {"fuel_system.injector_flow", "fuel_system.rail_pressure", "target.power"}


def test_where_nothing_will_do_the_check_is_named(real_rules):
    """600 hp on two injectors of the largest size sold takes more than both give (sum in the check)."""
    build = with_change(DUTY, {"target": {"power": "2500 hp"}, "fuel_system": {"injector_count": 4}})
    limit = one_limit(real_rules, build, "fuel_system.injector_flow", "injector-duty")
    assert limit["state"] == "none_will_do" and limit["stopped_by"] == "injector-duty"
    assert limit["text"].startswith("No injector flow from")


def test_a_check_the_input_cannot_change_is_no_limit(real_rules):
    build = with_change(DUTY, {"clutch": {"torque_rating": "50 N.m"}, "target": {"torque": "500 N.m"}})
    limit = one_limit(real_rules, build, "fuel_system.injector_flow", "injector-duty", "clutch-torque")
    assert limit["state"] == "limited" and limit["edge"]["at_least"]["stopped_by"] == "injector-duty"


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
    limit = one_limit(real_rules, build, "induction.boost", "knock-margin")
    end = limit["edge"]["at_most"]
    assert (end["set"], end["stopped_by"]) == ("31.9 psi", "knock-margin")
    assert "at_least" not in limit["edge"] and "can no longer be judged" in limit["text"]


def test_an_end_set_by_another_input_does_not_stop_this_one(real_rules):
    build = with_change(METHANOL, value_in("induction.boost", "45 psi"))
    limit = one_limit(real_rules, build, "engine.compression_ratio", "knock-margin")
    assert not {"comfortable", "edge", "stopped_by"} & set(limit)
