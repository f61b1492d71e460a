"""Pistons, rod bolts, ratings, ring gaps, bearings: against published values, pint, numpy and factory
engines.
"""

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.support.pint_units import UNIT

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
    ("pistons", "easy", "most"), [("cast", 21, 26), ("hypereutectic", 21, 26), ("forged", 23, 28)]
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


# An encyclopaedic table of piston speeds (read second hand): production engines 25.2, 25.7 and 21.6 m/s, top
# fuel engines about 30 for seconds; the kind of piston from memory.
@pytest.mark.parametrize(
    ("usage", "stroke", "rpm", "pistons", "expected"),
    [
        ("street", 84, 9000, "forged", {"pass", "warn"}),
        ("street", 92.8, 8250, "cast", {"pass", "warn"}),
        # Maker's release of 2012: 4.2 L V8, forged pistons, limited at 8,500 rpm, 26.3 m/s.
        ("street", 92.8, 8500, "forged", {"warn"}),
        # Workshop manual of a 4.8 L V8, 2009: cast pistons, 83 mm, limited at 6,700 rpm, 18.5 m/s.
        ("street", 83, 6700, "cast", {"pass"}),
        ("street", 90, 7200, "cast", {"pass", "warn"}),
        ("drag", 101.6, 9000, "forged", {"fail"}),
        ("tow", 114, 7000, "cast", {"fail"}),
    ],
)
def test_piston_speeds_that_were_sold(usage, stroke, rpm, pistons, expected, outcome):
    engine = {"stroke": f"{stroke} mm", "redline": f"{rpm} rpm", "pistons": pistons}
    assert outcome("piston-speed", {"usage": usage, "engine": engine}) in expected


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
        for kilonewtons in (81, 79.5, 63.5, 62)
    ] == ["pass", "warn", "warn", "fail"]


def test_the_shells_take_a_third(outcome):
    # A. N. Gots (abstract): the shells take 30 to 40 % of the tightening; what is left must still hold the
    # cap.
    for kilonewtons in (81, 62):
        left = [kilonewtons / 34.9 - share * kilonewtons / 34.9 for share in (0.30, 0.40)]
        build = rod(0.094, 0.155, 0.74, 0.36, 6500, f"{kilonewtons} kN")
        assert (outcome("rod-bolt-clamp", build) == "fail") == (min(left) < 1.1)


def test_unknown_big_end_adds_a_third(work_out):
    # From common practice 1.35 (1.25 to 1.60); the worked engine's own is 1.37 at both speeds.
    alone, assumed, known = (
        work_out(rod(0.094, 0.155, 0.74, big_end, 6500), name)
        for big_end, name in (
            (None, "reciprocating_force"),
            (None, "rod_bolt_force"),
            (0.36, "rod_bolt_force"),
        )
    )
    assert assumed / alone == pytest.approx(1.35)
    assert 1.25 < known / alone < 1.60


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
        ("marine", 451, "warn"),
        ("marine", 501, "fail"),
    ],
)
def test_ratings(usage, power, verdict, work_out, outcome):
    # From memory: 90 % of a rating of 500 hp, 80 % where full load lasts; no more than it anywhere.
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
