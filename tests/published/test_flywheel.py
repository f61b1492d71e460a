"""Stress of flywheel and pressure plate: published rings and discs, the equation of elasticity by scipy."""

from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from tests.support.pint_units import UNIT

FEW = settings(max_examples=25)
OVERSPEED = 1.1  # a tenth over the redline, common practice


def wheel(outer, inner, rpm, material="steel"):
    return {
        "engine": {"redline": f"{rpm!r} rpm"},
        "flywheel": {
            "material": material,
            "outer_diameter": f"{2 * outer!r} m",
            "inner_diameter": f"{2 * inner!r} m",
        },
    }


def plate(outer, inner, rpm, material="grey_iron"):
    return {
        "engine": {"redline": f"{rpm!r} rpm"},
        "clutch": {
            "pressure_plate_material": material,
            "outer_diameter": f"{2 * outer!r} m",
            "inner_diameter": f"{2 * inner!r} m",
        },
    }


def test_ring_of_a_textbook(work_out):
    # F. L. Singer and A. Pytel, Strength of Materials, problem 140, as quoted by another text: a steel ring
    # of 220 mm, 7,850 kg/m3, carries 150 MPa at 6,000 rpm.
    assert work_out(wheel(0.22, 0.22, 6000 / OVERSPEED), "flywheel_stress") / 1e6 == pytest.approx(
        150, abs=0.05
    )
    # Problem 139: 490 lb/ft3 and 30,000 psi at 10 in give 6,103 rpm; here of 7,850 kg/m3, 490.06 lb/ft3.
    assert (work_out(wheel(0.254, 0.249999, 6103 / OVERSPEED), "flywheel_stress") * UNIT.pascal).m_as(
        "psi"
    ) == pytest.approx(30_000, rel=0.01)


def test_limits_of_a_disc(work_out):
    # Mechanical Engineer's Data Handbook (J. Carvill, author from memory), page 15: thin ring, density times
    # rim speed squared; solid disc (3 + 0.30) / 8 of it at the centre, which a pinhole doubles.
    rim = 7850 * (0.2 * OVERSPEED * 6000 * pi / 30) ** 2
    assert work_out(wheel(0.2, 0.2, 6000), "flywheel_stress") == pytest.approx(rim, rel=1e-9)
    assert work_out(wheel(0.2, 0.0025, 6000), "flywheel_stress") == pytest.approx(
        2 * rim * 3.30 / 8, rel=1e-3
    )


@pytest.mark.parametrize(
    ("outer", "inner", "rpm"), [(0.165, 0.050, 6000), (0.150, 0.085, 7000), (0.14, 0.02, 8500)]
)
@pytest.mark.parametrize(
    ("material", "density", "poisson"),
    [("grey_iron", 7200, 0.26), ("steel", 7850, 0.30), ("aluminium", 2700, 0.30)],
)
def test_stress_by_the_equation_of_elasticity(material, density, poisson, outer, inner, rpm, work_out):
    # scipy: radial displacement of a free ring under its own inertia, elastic modulus and inertia of one.
    # Where nothing pulls radially, at the bore, hoop stress is hoop strain. The equation is linear, so two
    # shots at the free rim give the third.
    def radial_pull_at_rim(at_bore):
        def slopes(radius, state):
            return [state[1], state[0] / radius**2 - state[1] / radius - (1 - poisson**2) * radius]

        shot = solve_ivp(
            slopes, (inner, outer), [at_bore, -poisson * at_bore / inner], rtol=1e-11, atol=1e-14
        )
        return shot.y[1, -1] + poisson * shot.y[0, -1] / outer

    without, with_one = radial_pull_at_rim(0.0), radial_pull_at_rim(1.0)
    hoop = without / (without - with_one) / inner * density * (OVERSPEED * rpm * pi / 30) ** 2
    for build, name in (
        (wheel(outer, inner, rpm, material), "flywheel_stress"),
        (plate(outer, inner, rpm, material), "pressure_plate_stress"),
    ):
        assert work_out(build, name) == pytest.approx(hoop, rel=1e-7)


# Worked by hand with strengths from memory; the verdict of an iron wheel is a warning at best above 6,500
# rpm.
@pytest.mark.parametrize(
    ("rpm", "safety", "verdict"),
    [
        (4500, 2.35, "pass"),
        (5500, 1.6, "warn"),
        (6000, 1.33, "warn"),
        (6500, 1.13, "warn"),
        (7000, 0.975, "fail"),
    ],
)
def test_iron_flywheel(rpm, safety, verdict, work_out, outcome):
    build = wheel(0.165, 0.050, rpm, "grey_iron")
    assert work_out(build, "flywheel_safety") == pytest.approx(safety, abs=0.03)
    assert outcome("flywheel-stress", build) == verdict


@pytest.mark.parametrize(
    ("material", "rpm", "safety", "verdict"),
    [
        ("grey_iron", 6500, 1.305, "warn"),
        ("grey_iron", 7000, 1.125, "warn"),
        ("grey_iron", 8000, 0.86, "fail"),
        # ASTM A536, 60-40-18: ductile, so against its yield of 40,000 psi (276 MPa).
        ("nodular_iron", 6500, 1.74, "pass"),
        ("nodular_iron", 7000, 1.50, "warn"),
        ("nodular_iron", 8000, 1.145, "warn"),
    ],
)
def test_pressure_plate(material, rpm, safety, verdict, work_out, outcome):
    build = plate(0.150, 0.085, rpm, material)
    assert work_out(build, "pressure_plate_safety") == pytest.approx(safety, abs=0.03)
    assert outcome("pressure-plate-stress", build) == verdict


# N. E. Dowling, Mechanical Behavior of Materials, section 1.3: safety factors of 1.5 to 3.0 are common,
# near the lower end where the load is well known, as that of a turning disc is; below 1 the part fails by
# definition.
@pytest.mark.parametrize(
    ("material", "factor", "verdict"),
    [("steel", 1.51, "pass"), ("steel", 1.49, "warn"), ("steel", 0.99, "fail"), ("grey_iron", 3.01, "pass")],
)
@pytest.mark.parametrize(
    ("check", "safety"),
    [("flywheel-stress", "flywheel_safety"), ("pressure-plate-stress", "pressure_plate_safety")],
)
def test_usual_safety_factors(check, safety, material, factor, verdict, work_out, outcome):
    make = plate if check == "pressure-plate-stress" else wheel
    rpm = 4000 * (work_out(make(0.150, 0.085, 4000, material), safety) / factor) ** 0.5
    assert outcome(check, make(0.150, 0.085, rpm, material)) == verdict


def test_small_iron_wheel_at_high_speed(outcome):
    # From memory: iron above 6,500 rpm is a warning however strong it comes out.
    assert [
        outcome("flywheel-stress", wheel(0.1, 0.03, rpm, material))
        for rpm, material in ((6400, "grey_iron"), (6600, "grey_iron"), (6600, "steel"))
    ] == ["pass", "warn", "pass"]


def test_unknown_material_is_never_taken_for_good(outcome):
    unknown = wheel(0.165, 0.05, 4000)
    del unknown["flywheel"]["material"]
    assert outcome("flywheel-stress", unknown | {"usage": "track"}) == "not_checked"


@pytest.mark.parametrize(
    ("material", "psi"),
    [("grey_iron", 30_000), ("nodular_iron", 40_000)],  # ASTM A48 and A536
)
def test_strength_of_irons(material, psi, work_out):
    build = wheel(0.15, 0.05, 5000, material)
    strength = work_out(build, "flywheel_safety") * 2 * work_out(build, "flywheel_stress")
    assert (strength * UNIT.pascal).m_as("psi") == pytest.approx(psi, rel=1e-3)


def test_a_small_hole_doubles_the_stress():
    # Elasticity: a ring whose bore shrinks to a pinhole has twice the hoop stress of the solid disc at its
    # centre.
    solid = 3.3 / 8
    assert (3.3 + 0.7 * 1e-6) / 4 / solid == pytest.approx(2, rel=1e-6)


@pytest.mark.parametrize(("rpm", "expected"), [(7800, {"warn", "fail"}), (5600, {"not_checked"})])
def test_iron_without_its_size(rpm, expected, outcome):
    # An owner's account: a grey iron wheel burst at 7,800 rpm and took the brakes with it.
    build = {"flywheel": {"material": "grey_iron"}, "engine": {"redline": f"{rpm} rpm"}}
    assert outcome("flywheel-stress", build) in expected


@pytest.mark.parametrize(
    ("usage", "containment", "verdict"),
    [("drag", "standard", "warn"), ("drag", "rated_shield", "pass"), ("street", "standard", "pass")],
)
def test_shield(usage, containment, verdict, outcome):
    # A drag-racing rulebook of 2012, as quoted: a rated shield for quick cars.
    build = wheel(0.14, 0.05, 6500) | {"usage": usage}
    build["flywheel"]["containment"] = containment
    assert outcome("flywheel-stress", build) == verdict


@FEW
@given(rpm=st.floats(2000, 9000), factor=st.floats(0.5, 1.5), size=st.floats(0.5, 1.5))
def test_stress_goes_with_the_square_of_rim_speed(rpm, factor, size, work_out):
    for build, name in ((wheel, "flywheel_stress"), (plate, "pressure_plate_stress")):
        reference = work_out(build(0.15, 0.06, rpm), name)
        assert work_out(build(0.15, 0.06, rpm * factor), name) == pytest.approx(
            reference * factor**2, rel=1e-9
        )
        assert work_out(build(0.15 * size, 0.06 * size, rpm / size), name) == pytest.approx(
            reference, rel=1e-9
        )
