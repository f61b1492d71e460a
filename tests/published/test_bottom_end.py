"""Pistons, rod bolts, ratings, ring gaps, bearings: against published values, pint, numpy and factory
engines.
"""

from math import pi

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

UNIT = pint.UnitRegistry()
FEW = settings(max_examples=25)
RPM = pi / 30
OVERSPEED = 1.1  # a tenth over the redline, common practice


# ---------------------------------------------------------------- piston speed


@pytest.mark.parametrize(
    ("stroke", "rpm", "metres_a_second"),
    [
        # Performance Automotive Engine Math (J. Baechtel, author from memory), as quoted by another text:
        # 3,000 ft/min.
        ("3.0 in", 6000, (3000 * UNIT.foot / UNIT.minute).m_as("meter / second")),
        # Worked by hand.
        ("3.48 in", 6500, 19.15),
        ("88 mm", 7000, 20.53),
        ("39.4 mm", 19000, 24.95),
        ("92 mm", 6600, 20.24),
    ],
)
def test_mean_piston_speed(stroke, rpm, metres_a_second, work_out):
    build = {"engine": {"stroke": stroke, "redline": f"{rpm} rpm"}}
    assert work_out(build, "mean_piston_speed") == pytest.approx(metres_a_second, abs=6e-3)
    assert work_out(build, "mean_piston_speed") == pytest.approx(
        (2 * UNIT(stroke) * rpm / UNIT.minute).m_as("meter / second"), rel=1e-9
    )


def test_what_was_sold_is_not_failed(outcome):
    # A production engine of 84 mm stroke ran to 9,000 rpm, 25.2 m/s; 20 m/s is a usual road redline, 25 m/s
    # that of racing (common practice).
    assert outcome("piston-speed", {"engine": {"stroke": "84 mm", "redline": "9000 rpm"}}) == "not_checked"
    assert (
        outcome("piston-speed", {"engine": {"stroke": "84 mm", "redline": "9000 rpm", "pistons": "forged"}})
        == "warn"
    )
    for pistons in ("cast", "hypereutectic", "forged"):
        assert (
            outcome(
                "piston-speed",
                {"usage": "street", "engine": {"stroke": "92 mm", "redline": "6600 rpm", "pistons": pistons}},
            )
            != "fail"
        )


@pytest.mark.parametrize(
    ("usage", "shift"), [("street", 0), ("track", 0), ("drag", 2), ("tow", -2), ("marine", -2)]
)
@pytest.mark.parametrize(
    ("pistons", "easy", "most"), [("cast", 18, 23), ("hypereutectic", 19, 23.5), ("forged", 21, 27.5)]
)
def test_limits_by_piston_and_use(pistons, easy, most, usage, shift, outcome):
    # From memory: m/s; 2 more at the strip, 2 less where full load lasts.
    def verdict(speed):
        return outcome(
            "piston-speed",
            {
                "usage": usage,
                "engine": {"stroke": "90 mm", "redline": f"{speed / 0.09 * 30!r} rpm", "pistons": pistons},
            },
        )

    assert [verdict(limit + shift + step) for limit in (easy, most) for step in (-0.01, 0.01)] == [
        "pass",
        "warn",
        "warn",
        "fail",
    ]


# ---------------------------------------------------------------- rod bolts


def rod(stroke, length, mass, big_end, rpm, clamp="100 kN"):
    weights = {"reciprocating_mass": f"{mass} kg"} | (
        {"rod_big_end_mass": f"{big_end} kg"} if big_end else {}
    )
    return {
        "engine": {
            "stroke": f"{stroke!r} m",
            "rod_length": f"{length!r} m",
            "redline": f"{rpm!r} rpm",
            "rod_bolt_clamp_load": clamp,
        }
        | weights
    }


# Worked by hand, kN; the second set at the redline itself.
@pytest.mark.parametrize(
    ("stroke", "length", "mass", "big_end", "judged_rpm", "piston", "bolts"),
    [
        (0.094, 0.155, 0.74, 0.36, 7150, 25.4, 34.9),
        (0.094, 0.155, 0.74, 0.36, 6500, 21.0, 28.8),
        (0.086, 0.139, 0.50, 0.25, 8500, 22.3, 30.8),
    ],
)
def test_worked_forces(stroke, length, mass, big_end, judged_rpm, piston, bolts, work_out):
    build = rod(stroke, length, mass, big_end, judged_rpm / OVERSPEED)
    assert work_out(build, "reciprocating_force") / 1e3 == pytest.approx(piston, abs=0.06)
    assert work_out(build, "rod_bolt_force") / 1e3 == pytest.approx(bolts, abs=0.06)


def test_acceleration_worked_by_hand(work_out):
    # Stroke 4.0 in, rod 5.91 in, 7,000 rpm: 3,726 times gravity; 0.9 kg pull 32.9 kN.
    build = rod(0.1016, 5.91 * 0.0254, 0.9, None, 7000 / OVERSPEED)
    assert work_out(build, "reciprocating_force") / 0.9 / 9.80665 == pytest.approx(3726, abs=1)
    assert work_out(build, "reciprocating_force") / 1e3 == pytest.approx(32.9, abs=0.05)


@FEW
@given(
    stroke=st.floats(0.05, 0.12),
    ratio=st.floats(1.4, 2.3),
    rpm=st.floats(3000, 10_000),
    mass=st.floats(0.2, 1.5),
)
def test_force_is_mass_times_the_bend_of_the_pistons_path(stroke, ratio, rpm, mass, work_out):
    # numpy: the piston pin's place by Pythagoras, its second difference at top dead centre.
    crank, length, step = stroke / 2, ratio * stroke, 1e-3
    angles = np.array([-step, 0, step])
    place = crank * np.cos(angles) + np.sqrt(length**2 - (crank * np.sin(angles)) ** 2)
    acceleration = -np.diff(place, 2)[0] / step**2 * (OVERSPEED * rpm * RPM) ** 2
    assert work_out(rod(stroke, length, mass, None, rpm), "reciprocating_force") == pytest.approx(
        mass * acceleration, rel=1e-5
    )


@FEW
@given(rpm=st.floats(3000, 9000), factor=st.floats(0.5, 1.5), big_end=st.sampled_from([None, 0.3]))
def test_force_goes_with_the_square_of_speed(rpm, factor, big_end, work_out):
    def ratio(speed):
        return work_out(rod(0.094, 0.155, 0.74, big_end, speed), "rod_bolt_clamp_ratio")

    assert ratio(rpm * factor) == pytest.approx(ratio(rpm) / factor**2, rel=1e-9)


def test_clamp_of_a_known_bolt(work_out, outcome):
    # Worked by hand: two bolts of 12,000 lbf (common practice, size not stated), 106.8 kN, are 3.06 times
    # 34.9 kN.
    clamp = 2 * 12_000 * UNIT.pound_force
    assert clamp.m_as("kilonewton") == pytest.approx(106.8, abs=0.05)
    build = rod(0.094, 0.155, 0.74, 0.36, 6500, "24000 lbf")
    assert work_out(build, "rod_bolt_clamp_ratio") == pytest.approx(3.06, abs=0.01)
    assert [
        outcome("rod-bolt-clamp", rod(0.094, 0.155, 0.74, 0.36, 6500, f"{kilonewtons} kN"))
        for kilonewtons in (70.5, 69.5, 52.8, 52.0)
    ] == ["pass", "warn", "warn", "fail"]


def test_unknown_big_end_adds_a_third(work_out):
    # From common practice 1.35 (1.25 to 1.45); the worked engine's own is 1.37 at both speeds.
    alone, assumed, known = (
        work_out(rod(0.094, 0.155, 0.74, big_end, 6500), name)
        for big_end, name in (
            (None, "reciprocating_force"),
            (None, "rod_bolt_force"),
            (0.36, "rod_bolt_force"),
        )
    )
    assert assumed / alone == pytest.approx(1.35)
    assert 1.25 < known / alone < 1.45


def test_unknown_rod_is_taken_for_a_usual_one(work_out):
    # Common practice: rods are 1.5 to 1.9 strokes long.
    short, unknown, long = (
        work_out(rod(0.09, 0.09 * ratio, 0.7, 0.3, 6500), "reciprocating_force") for ratio in (1.5, 1.7, 1.9)
    )
    build = rod(0.09, 0.15, 0.7, 0.3, 6500)
    del build["engine"]["rod_length"]
    assert long < work_out(build, "reciprocating_force") < short
    assert work_out(build, "reciprocating_force") == pytest.approx(unknown, rel=0.02)


# ---------------------------------------------------------------- ratings


@pytest.mark.parametrize(
    ("usage", "power", "verdict"),
    [
        ("street", 449, "pass"),
        ("street", 451, "warn"),
        ("street", 501, "fail"),
        ("tow", 399, "pass"),
        ("tow", 401, "warn"),
        ("marine", 451, "fail"),
    ],
)
def test_ratings(usage, power, verdict, work_out, outcome):
    # From memory: 90 % of a rating of 500 hp, 80 % where full load lasts.
    build = {
        "usage": usage,
        "target": {"power": f"{power} hp", "power_at": "crank"},
        "engine": {"power_rating": "500 hp"},
    }
    assert work_out(build, "power_rating_share") == pytest.approx(power / 500, rel=1e-9)
    assert outcome("rotating-assembly", build) == verdict


@pytest.mark.parametrize(
    ("ratings", "share"),
    # 400 hp and 500 N.m; no rating hides another.
    [
        ({"power_rating": "500 hp", "torque_rating": "520 N.m"}, 500 / 520),
        ({"power_rating": "500 hp", "torque_rating": "900 N.m"}, 400 / 500),
        ({"torque_rating": "900 N.m"}, 500 / 900),
        ({"power_rating": "500 hp", "torque_rating": "900 N.m", "block_rating": "450 hp"}, 400 / 450),
        ({"block_rating": "450 hp"}, 400 / 450),
    ],
)
def test_the_worst_of_the_ratings_counts(ratings, share, work_out):
    build = {
        "target": {"power": "400 hp", "power_at": "crank", "torque": "500 N.m", "torque_at": "crank"},
        "engine": ratings,
    }
    assert work_out(build, "power_rating_share") == pytest.approx(share)


@pytest.mark.parametrize(
    "ratings", [{"torque_rating": "250 lb-ft"}, {"torque_rating": "250 lb-ft", "power_rating": "500 hp"}]
)
def test_torque_that_only_follows_from_power_is_held_against_its_rating(ratings, outcome):
    # By hand: 400 hp at 5,000 rpm are 420 lb-ft there, and the peak is not less.
    assert (
        outcome(
            "rotating-assembly",
            {
                "target": {"power": "400 hp", "power_at": "crank"},
                "engine": {"peak_power_speed": "5000 rpm"} | ratings,
            },
        )
        == "fail"
    )
    assert (
        outcome("rotating-assembly", {"target": {"power": "400 hp", "power_at": "crank"}, "engine": ratings})
        == "not_checked"
    )


# ---------------------------------------------------------------- ring gaps


def ring(bore, gap, boost=None, kind="turbo", **engine):
    induction = {"kind": kind} | ({"boost": boost} if boost else {})
    return {"engine": {"bore": bore, "top_ring_gap": gap} | engine, "induction": induction}


# Published by piston makers, the originals not to hand, so from memory: psi, inches of gap on a bore of 4.00
# in.
@pytest.mark.parametrize(
    ("boost", "gap"),
    [(4, 0.018), (8, 0.018), (9, 0.022), (15, 0.022), (16, 0.024), (22, 0.024), (30, 0.0272)],
)
def test_gap_by_boost(boost, gap, work_out):
    found = work_out(ring("4.00 in", "0.5 mm", f"{boost} psi"), "ring_gap_wanted") * UNIT.meter
    assert found.m_as("inch") == pytest.approx(gap, abs=1e-6)


def test_gap_of_the_trade(work_out):
    # Common practice: 4.030 x 0.0045 is 0.018 in.
    assert (work_out(ring("4.030 in", "0.5 mm", "7 psi"), "ring_gap_wanted") * UNIT.meter).m_as(
        "inch"
    ) == pytest.approx(0.018, abs=2e-4)


def test_gap_without_boost_and_of_a_drag_turbo(work_out):
    # The floor of the trade; from memory 0.0060 for a turbo at the strip whose boost nobody stated.
    assert work_out(ring("4.00 in", "0.5 mm", kind="natural"), "ring_gap_factor") == pytest.approx(0.0030)
    assert work_out(ring("4.00 in", "0.5 mm") | {"usage": "drag"}, "ring_gap_factor") == pytest.approx(0.0060)


# From memory: more by 0.0010 of the bore for hypereutectic pistons, by 0.0005 for nitrous; alcohol changes
# nothing.
@pytest.mark.parametrize(
    ("more", "factor"),
    [
        ({}, 0.0055),
        ({"engine": {"pistons": "hypereutectic"}}, 0.0065),
        ({"engine": {"pistons": "forged"}}, 0.0055),
        ({"induction": {"nitrous_power": "50 kW"}}, 0.0060),
        ({"fuel": {"grade": "methanol"}}, 0.0055),
        ({"fuel": {"grade": "e85"}}, 0.0055),
    ],
)
def test_what_widens_the_gap(more, factor, work_out):
    build = ring("4.00 in", "0.5 mm", "12 psi")
    assert work_out(
        {group: build.get(group, {}) | more.get(group, {}) for group in {**build, **more}}, "ring_gap_factor"
    ) == pytest.approx(factor, rel=1e-9)


# Gaps factories give engines without boost, common practice; the floor of the trade is 0.0030.
@pytest.mark.parametrize(
    ("gap", "bore", "share"), [(0.25, 86, 0.0029), (0.35, 99, 0.0035), (0.20, 81, 0.0025)]
)
def test_factory_engines_are_not_failed(gap, bore, share, work_out, outcome):
    build = ring(f"{bore} mm", f"{gap} mm", kind="natural")
    assert work_out(build, "ring_gap_by_bore") == pytest.approx(share, abs=5e-5)
    assert outcome("ring-gap", build) in ("pass", "warn")


# Worked by hand on 4.00 in: 0.022 in at 22 psi is 0.92 of what is wanted, 0.032 in 1.33.
@pytest.mark.parametrize(
    ("gap", "ratio", "verdict"),
    [
        (0.0215, 0.896, "fail"),
        (0.022, 0.917, "warn"),
        (0.024, 1.0, "pass"),
        (0.032, 1.333, "pass"),
        (0.034, 1.417, "warn"),
    ],
)
def test_gap_verdict(gap, ratio, verdict, work_out, outcome):
    build = ring("4.00 in", f"{gap} in", "22 psi")
    assert work_out(build, "ring_gap_ratio") == pytest.approx(ratio, abs=1e-3)
    assert outcome("ring-gap", build) == verdict


@FEW
@given(
    bore=st.floats(60, 120),
    gap=st.floats(0.2, 0.9),
    factor=st.floats(0.5, 2),
    boost=st.floats(0, 250),
    more=st.floats(0, 100),
)
def test_gap_is_a_number_of_shape_and_boost(bore, gap, factor, boost, more, work_out):
    def ratio(size, opening, kilopascals):
        return work_out(ring(f"{size!r} mm", f"{opening!r} mm", f"{kilopascals!r} kPa"), "ring_gap_ratio")

    assert ratio(bore, gap * factor, boost) == pytest.approx(ratio(bore, gap, boost) * factor, rel=1e-9)
    assert ratio(bore * factor, gap * factor, boost) == pytest.approx(ratio(bore, gap, boost), rel=1e-9)
    assert ratio(bore, gap, boost + more) <= ratio(bore, gap, boost) * (1 + 1e-12)


# ---------------------------------------------------------------- bearings


# Common practice: 0.0010 in for each inch of journal and 0.0003 in; worked by hand 2.65 in: 0.00295, from
# 0.00236 to 0.00472 in.
@pytest.mark.parametrize(
    ("clearance", "verdict"),
    [(0.00235, "fail"), (0.00237, "pass"), (0.00295, "pass"), (0.00471, "pass"), (0.00473, "fail")],
)
def test_bearing_clearance(clearance, verdict, work_out, outcome):
    build = {"engine": {"main_journal_diameter": "2.65 in", "main_bearing_clearance": f"{clearance} in"}}
    assert work_out(build, "bearing_clearance_ratio") == pytest.approx(clearance / 0.00295, rel=1e-9)
    assert outcome("bearing-clearance", build) == verdict
