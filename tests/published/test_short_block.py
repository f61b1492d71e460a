"""A short block that nobody rated, against what it was sold for."""

import pytest


def block(power, rated=200, **engine):
    return {
        "target": {"power": f"{power} hp", "power_at": "crank"},
        "baseline": {"rated_power": f"{rated} hp"},
        "engine": engine,
    }


STOCK = {"pistons": "cast", "rods": "powder_metal", "crankshaft": "nodular_iron"}
STRONG = {"pistons": "forged", "rods": "billet_steel", "crankshaft": "forged_steel"}


# Common practice: mild boost of 6 psi or so, 1.3 to 1.4 times the power, is what kits for standard engines
# are sold for; standard cast pistons break at twice their power, forged ones stand 1.8 times and more.
@pytest.mark.parametrize(
    ("power", "parts", "verdict"),
    [
        (200, STOCK, "pass"),
        (270, STOCK, "pass"),
        (400, STOCK, "warn"),
        (360, STRONG, "pass"),
        (500, STRONG, "warn"),
    ],
)
def test_what_parts_stand(power, parts, verdict, outcome):
    assert outcome("short-block-unrated", block(power, **parts)) == verdict


def test_the_engine_as_sold_passes_whatever_is_known_of_it(outcome):
    for known in ({}, {"pistons": "cast"}, {"rods": "cast_iron"}, STOCK):
        assert outcome("short-block-unrated", block(200, **known)) == "pass"


@pytest.mark.parametrize(("redline", "growth"), [(6000, 1.0), (7348, 1.5)])
def test_inertia_goes_with_the_square_of_speed(redline, growth, work_out):
    build = {"engine": {"redline": f"{redline} rpm"}, "baseline": {"redline": "6000 rpm"}}
    assert work_out(build, "short_block_growth") == pytest.approx(growth, rel=1e-3)


def test_torque_counts_too(outcome):
    build = {
        "target": {"torque": "500 N.m", "torque_at": "crank"},
        "baseline": {"rated_torque": "250 N.m"},
        "engine": STOCK,
    }
    assert outcome("short-block-unrated", build) == "warn"


def test_where_a_maker_gave_a_rating_that_is_judged_instead(outcome):
    rated = block(400, power_rating="500 hp", **STOCK)
    assert outcome("short-block-unrated", rated) != "warn"
    assert outcome("rotating-assembly", rated) == "pass"


def test_it_says_that_no_rating_was_given(judged):
    assert "no maker's rating was given" in judged("short-block-unrated", block(400, **STOCK))["explanation"]
