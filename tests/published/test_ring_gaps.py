"""Ring gaps: workshop manuals of engines as sold, piston makers' tables, and heat expansion by scipy."""

from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from tests.support.pint_units import UNIT

FEW = settings(max_examples=25)


def ring(bore, gap, boost=None, kind="turbo", **engine):
    induction = {"kind": kind} | ({"boost": boost} if boost else {})
    return {"engine": {"bore": bore, "top_ring_gap": gap} | engine, "induction": induction}


def at_standard_power(build, raised=1.0):
    return build | {
        "target": {"power": f"{200 * raised!r} hp", "power_at": "crank"},
        "baseline": {"rated_power": "200 hp"},
    }


# ---------------------------------------------------------------- engines as sold


# Workshop manuals (no names; bores of the 3.8 L, 3.3 L and 0.6 L as in them): induction, boost, bore, least
# and most gap, mm.
MANUALS = [
    ("2.0 L turbo four", "turbo", 14, 85, 0.20, 0.30),
    ("flat four turbo, 2004", "turbo", 14, 99.5, 0.20, 0.25),
    ("1.5 L turbo, 2019", "turbo", 17, 73, 0.25, 0.30),
    ("5.7 L V8, 1996", "natural", 0, 101.6, 0.25, 0.40),
    ("4.6 L V8", "natural", 0, 90.2, 0.15, 0.30),
    ("3.3 L V6, 2001", "natural", 0, 91.5, 0.21, 0.31),
    ("2.4 L four", "natural", 0, 86.5, 0.25, 0.35),
    ("0.6 L four", "natural", 0, 67, 0.10, 0.20),
    ("20 hp outboard", "natural", 0, 61, 0.15, 0.30),
]


@pytest.mark.parametrize(("name", "kind", "boost", "bore", "least", "most"), MANUALS)
def test_no_maker_is_failed(name, kind, boost, bore, least, most, outcome):
    for gap in (least, (least + most) / 2, most):
        build = ring(f"{bore} mm", f"{gap!r} mm", f"{boost} psi" if boost else None, kind)
        assert outcome("ring-gap", build) in ("pass", "warn"), name
    # At the power it was sold with a boosted engine passes too.
    standard = at_standard_power(build)
    standard["engine"]["top_ring_gap"] = f"{(least + most) / 2!r} mm"
    assert outcome("ring-gap", standard) == "pass", name


# Service limits of the same manuals: 0.8 mm on 85, 1.0 on 99.5, 0.43 on 91.5; half as much again is never
# passed where it is past the usual wear limit, 0.0087 of the bore.
@pytest.mark.parametrize(("bore", "gap"), [(85, 1.2), (99.5, 1.5), (91.5, 1.1)])
@pytest.mark.parametrize("kind", ["natural", "turbo"])
def test_worn_rings(bore, gap, kind, outcome):
    assert outcome("ring-gap", ring(f"{bore} mm", f"{gap} mm", "14 psi", kind)) == "warn"


@pytest.mark.parametrize(("kind", "bore", "gap"), [("turbo", 86, 0.10), ("roots", 101.6, 0.14)])
def test_rings_that_butt(kind, bore, gap, outcome):
    # Half of the least any maker of a boosted engine sets, at more boost.
    assert outcome("ring-gap", ring(f"{bore} mm", f"{gap} mm", "18 psi", kind)) == "fail"


# ---------------------------------------------------------------- heat


def test_gap_that_heat_closes(work_out):
    # scipy: the lengthening of the ring along its round less that of the bore, from 20 degC; 12e-6 for each K
    # of iron.
    def round_of(diameter, rise):
        return quad(lambda angle: diameter / 2 * 12e-6 * rise, 0, 2 * pi)[0]

    closed = (round_of(1, 160 - 20) - round_of(1, 120 - 20)) / 1
    assert work_out(ring("85 mm", "0.25 mm", "14 psi"), "ring_gap_closed") == pytest.approx(closed, rel=1e-9)
    # In aluminium the bore grows away from the ring.
    aluminium = ring("85 mm", "0.25 mm", "14 psi", bore_material="coated_aluminium")
    assert work_out(aluminium, "ring_gap_closed") == pytest.approx(closed - pi * 9e-6 * 100)


# ---------------------------------------------------------------- raised output


# Published by piston makers, the originals not to hand, so from memory: psi, inches of gap on a bore of 4.00
# in.
@pytest.mark.parametrize(
    ("boost", "gap"),
    [(4, 0.018), (8, 0.018), (9, 0.022), (15, 0.022), (16, 0.024), (22, 0.024), (30, 0.0272)],
)
def test_gap_by_boost(boost, gap, work_out):
    for build in (
        ring("4.00 in", "0.5 mm", f"{boost} psi"),
        at_standard_power(ring("4.00 in", "0.5 mm", f"{boost} psi"), raised=2.0),
    ):
        found = work_out(build, "ring_gap_wanted") * UNIT.meter
        assert found.m_as("inch") == pytest.approx(gap, abs=1e-6)


@pytest.mark.parametrize(("raised", "factor"), [(1.0, 0.0020), (1.5, 0.00375), (2.0, 0.0055)])
def test_gap_grows_with_the_power_over_what_was_sold(raised, factor, work_out):
    # By hand: from the 0.0020 of makers to the 0.0055 of the tables at twice the power (house choice).
    build = at_standard_power(ring("4.00 in", "0.5 mm", "14 psi"), raised)
    assert work_out(build, "ring_gap_factor") == pytest.approx(factor, rel=1e-9)


def test_gap_without_boost_and_of_a_drag_turbo(work_out):
    # From memory 0.0060 for a turbo at the strip whose boost nobody stated.
    assert work_out(ring("4.00 in", "0.5 mm", kind="natural"), "ring_gap_factor") == pytest.approx(0.0015)
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


# Worked by hand on 4.00 in: 0.022 in at 22 psi is 0.92 of what is wanted, 0.032 in 1.33.
@pytest.mark.parametrize(
    ("gap", "ratio", "verdict"),
    [
        (0.0059, 0.246, "fail"),
        (0.022, 0.917, "warn"),
        (0.024, 1.0, "pass"),
        (0.032, 1.333, "pass"),
        (0.036, 1.5, "warn"),
    ],
)
def test_gap_verdict(gap, ratio, verdict, work_out, outcome):
    build = ring("4.00 in", f"{gap} in", "22 psi")
    assert work_out(build, "ring_gap_ratio") == pytest.approx(ratio, abs=1e-3)
    assert outcome("ring-gap", build) == verdict


@pytest.mark.parametrize(
    ("second", "verdict"), [("0.60 mm", "pass"), ("0.50 mm", "pass"), ("0.30 mm", "warn")]
)
def test_second_ring(second, verdict, outcome):
    # Common practice: the second ring gets at least the gap of the top one.
    assert outcome("ring-gap", ring("86 mm", "0.52 mm", "14 psi", second_ring_gap=second)) == verdict


@pytest.mark.parametrize(("square", "verdict"), [("yes", "pass"), ("no", "warn")])
def test_a_ring_measured_crooked(square, verdict, outcome):
    build = ring("86 mm", "0.52 mm", "14 psi", ring_gap_measured_square=square)
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
