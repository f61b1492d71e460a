"""A sweep says in one breath how many candidates will do, and what stops the others."""

import numpy as np

from service.advice.sweeps import evaluate_sweep

BUILD = {
    "fuel_system": {
        "injector_count": 8,
        "injector_rated_fluid": "petrol",
        "injector_rated_pressure": "43.5 psi",
        "rail_pressure": "43.5 psi",
        "boost_referenced": "yes",
    },
    "fuel": {"brake_specific_consumption": "0.55 lb/hp/h"},
    "target": {"power": "550 hp", "power_at": "crank"},
}
POUND_AN_HOUR = 0.45359237 / 3600


def headline(real_rules, *pounds, build=BUILD):
    columns = {"fuel_system__injector_flow_by_mass": np.array(pounds) * POUND_AN_HOUR}
    return evaluate_sweep(real_rules, real_rules.read(build), columns, ("injector-duty",), "us")["headline"]


def test_what_passes_and_what_stops_the_others(real_rules):
    """By hand: 302.5 lb/h over eight is 37.8 each: 126 % of 30, 90 % of 42, 79 % of 48, 63 % of 60."""
    short = real_rules.rulebook.checks["injector-duty"].short
    told = headline(real_rules, 30, 42, 48, 60)
    assert told == f"Of 4 candidates 2 pass, 1 warns and 1 fails. Most often it is the {short}."


def test_all_alike(real_rules):
    assert headline(real_rules, 48, 60) == "All 2 candidates pass."


def test_nothing_judged_is_no_pass(real_rules):
    told = headline(real_rules, 48, 60, build={"fuel_system": {"injector_count": 8}})
    assert told == "None of 2 candidates could be judged."
