"""The turbine side of a turbo: an energy balance by hand and CoolProp, and what pressure ahead of it
costs.
"""

import pytest
from CoolProp.CoolProp import PropsSI
from scipy.optimize import brentq

PSI = 6894.757293168361


def turbo(before="15 psi", boost="12 psi", **exhaust):
    return {
        "engine": {"displacement": "5.02 L", "volumetric_efficiency": 0.95, "peak_power_speed": "6000 rpm"},
        "induction": {"kind": "turbo", "boost": boost, "compressor_efficiency": 0.65},
        "charge_cooling": {"kind": "air", "charge_temperature": "55 degC", "pressure_drop": "1 psi"},
        "conditions": {"ambient_temperature": "25 degC", "ambient_pressure": "14.7 psi"},
        "exhaust": {"pressure_before_turbine": before, "gas_temperature": "900 degC"} | exhaust,
    }


def test_expansion_needed(work_out):
    # Worked by hand: 0.466 kg/s of air, 43.6 kW, 1,150 J/kg/K, 1.33, 900 degC and 0.65 ask for 1.53; the
    # rules add the shaft's friction of 3 % (from memory).
    assert work_out(turbo(), "compressor_power") * 0.97 == pytest.approx(43.6e3, rel=5e-3)
    assert work_out(turbo(), "turbine_expansion_needed") == pytest.approx(1.53, abs=0.03)


def test_expansion_by_real_gas(work_out):
    # CoolProp: real air expanded without loss to the enthalpy that the turbine of 0.65 has to give; exhaust
    # of more than air has 3 % more specific heat.
    flow = work_out(turbo(), "air_flow", "peak_power") * (1 + 1 / (14.65 * 0.88))
    drop = work_out(turbo(), "compressor_power") / flow / 0.65
    start, pressure = 1173.15, 2e5
    enthalpy = PropsSI("H", "T", start, "P", pressure, "Air")
    entropy = PropsSI("S", "T", start, "P", pressure, "Air")

    def left(ratio):
        return enthalpy - PropsSI("H", "P", pressure / ratio, "S", entropy, "Air") - drop

    assert work_out(turbo(), "turbine_expansion_needed") == pytest.approx(brentq(left, 1.05, 4), rel=0.02)


def test_what_the_wastegate_passes(work_out):
    # By definition: with just the expansion needed nothing goes past the turbine, with more something does.
    after = 3 * PSI
    needed = work_out(turbo(), "turbine_expansion_needed")
    just = needed * (14.7 * PSI + after) - 14.7 * PSI
    for factor, share in ((1, 0), (1.5, 0.3)):
        found = work_out(turbo(f"{just * factor!r} Pa", back_pressure="3 psi"), "wastegate_share")
        assert found == pytest.approx(share, abs=0.1 if share else 1e-6)


@pytest.mark.parametrize(("before", "verdict"), [("15 psi", "pass"), ("8 psi", "warn")])
def test_boost_that_the_exhaust_cannot_drive(before, verdict, outcome):
    assert outcome("turbine-drive", turbo(before)) == verdict


# The house's choice: 1.5 and 2.5 times the boost. F. Russ, SAE 960497: one octane number for 30 kPa of
# exhaust pressure, so that 1.5 times 1 bar costs 1.7 more than boost itself does.
@pytest.mark.parametrize(
    ("before", "share", "verdict"), [(14, 1.167, "pass"), (20, 1.667, "warn"), (31, 2.583, "fail")]
)
def test_pressure_ahead_of_the_turbine(before, share, verdict, work_out, outcome):
    build = turbo(f"{before} psi")
    assert work_out(build, "turbine_pressure_share") == pytest.approx(share, abs=1e-3)
    assert outcome("turbine-pressure", build) == verdict


def test_not_judged_without_a_turbine_or_a_reading(outcome):
    natural = turbo() | {"induction": {"kind": "screw", "boost": "12 psi"}}
    assert outcome("turbine-pressure", natural) == "not_applicable"
    unread = turbo()
    del unread["exhaust"]["pressure_before_turbine"]
    assert outcome("turbine-drive", unread) == "not_checked"


@pytest.mark.parametrize("before", ["0 psi", "1 psi", "3 psi", "4 psi"])
def test_no_exhaust_pressure_drives_nothing(before, outcome):
    # The first law: without an expansion the turbine gives no work.
    assert outcome("turbine-drive", turbo(before)) == "warn"
