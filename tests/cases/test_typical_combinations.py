"""
Ten typical combinations: how late the burn must come, and the verdict a careful foreman gives.

Phasings (degrees after top dead centre) were worked by hand with a script of fine steps; the verdicts are
common practice. A blower is spared the pressure ahead of a turbine, one octane number for 30 kPa (Russ). They
hold at peak torque, so that is also where full boost is said to come in, except in the
rows that say otherwise. Nominal and hot: the same on a hot day with a poor tank (charge 15 K warmer, 2 octane
numbers fewer).
"""

from copy import deepcopy

import numpy as np
import pytest

WITHIN = 0.3  # degrees


def laid_over(under, over):
    result = deepcopy(under)
    for name, value in over.items():
        result[name] = laid_over(result.get(name, {}), value) if isinstance(value, dict) else value
    return result


def engine(ratio, chamber, speed="3500 rpm", power_speed="6000 rpm", bore="86 mm", stroke="86 mm", **more):
    return {
        "compression_ratio": ratio,
        "chamber_design": chamber,
        "peak_torque_speed": speed,
        "peak_power_speed": power_speed,
        "bore": bore,
        "stroke": stroke,
    } | more


def boosted(usage, engine, kind, boost, celsius, ron, mon, **more):
    build = {
        "usage": usage,
        "engine": engine,
        "induction": {"kind": kind, "boost": f"{boost} psi", "full_boost_speed": engine["peak_torque_speed"]},
        "charge_cooling": {"charge_temperature": f"{celsius} degC"},
        "fuel": {"ron": ron, "mon": mon},
        "fuel_system": {"delivery": "port"},
    }
    return laid_over(build, more)


def large_four_valve(ratio, boost, celsius, **more):
    """5.0 L V8 with a screw blower on 91 AKI."""
    return boosted(
        "street",
        engine(ratio, "four_valve", bore="92.2 mm", stroke="94 mm", rod_length="155 mm"),
        "screw",
        boost,
        celsius,
        96,
        86,
        **more,
    )


def old_two_valve(celsius, delivery="carburettor"):
    """5.7 L V8, roots blower, 6 psi, 92 AKI, no charge cooler."""
    more = {"fuel_system": {"delivery": delivery}, "charge_cooling": {"kind": "none"}}
    return boosted(
        "street",
        engine(9.0, "two_valve", power_speed="5000 rpm", bore="4.000 in", stroke="3.480 in"),
        "roots",
        6,
        celsius,
        97,
        87,
        **more,
    )


def small_turbo(boost, ron=98, mon=88, **more):
    """2.0 L turbo four, 9:1, charge 50 degC, on 93 AKI unless told otherwise."""
    return boosted("street", engine(9.0, "four_valve"), "turbo", boost, 50, ron, mon, **more)


def on_tested_e85(boost):
    return small_turbo(boost, 106, 88, fuel={"grade": "e85", "ethanol": 0.85, "air_fuel_lambda": 0.82})


def natural(ratio, chamber, ron, mon):
    return {
        "usage": "street",
        "engine": engine(ratio, chamber, speed="4500 rpm"),
        "induction": {"kind": "natural"},
        "fuel": {"ron": ron, "mon": mon},
        "fuel_system": {"delivery": "port"},
        "conditions": {"ambient_temperature": "35 degC"},
    }


FULL_BOOST_EARLY = {"induction": {"full_boost_speed": "2500 rpm"}, "ignition": {"knock_control": False}}
BLOWN_METHANOL = boosted(
    "drag",
    engine(9.5, "hemi", speed="5000 rpm", power_speed="7000 rpm", bore="105 mm", stroke="95 mm"),
    "roots",
    25,
    90,
    107,
    92,
    fuel={"grade": "methanol"},
)

# Build, nominal, hot, verdict. A verdict that stands on the very limit is not pinned (None).
TABLE = {
    "1 mild blower": (large_four_valve(8.8, 6, 49), 10.2, 14.6, "pass"),
    "2 nine psi": (large_four_valve(8.8, 9, 55), 14.8, 19.0, "pass"),
    "3 twelve psi": (large_four_valve(8.8, 12, 60), 18.5, 22.7, "warn"),
    "4 twelve psi and high compression": (large_four_valve(10.2, 12, 60), 24.4, 29.1, "warn"),
    "4 its full boost at 2,500 rpm": (large_four_valve(10.2, 12, 60, **FULL_BOOST_EARLY), 24.4, 29.1, None),
    "4 at 14 psi": (large_four_valve(10.2, 14, 60, **FULL_BOOST_EARLY), 26.2, 31.1, "fail"),
    "5 roots without cooler": (old_two_valve(97), 20.9, 25.4, "warn"),
    "5 with fuel ahead of the blower": (old_two_valve(81, "before_compressor"), 18.4, 22.7, "warn"),
    "5 logged near 60 degC": (old_two_valve(60), 15.2, 19.4, "pass"),
    "6 turbo at 15 psi": (small_turbo(15), 21.4, 25.7, "warn"),
    "6 turbo at 20 psi": (small_turbo(20), 26.0, 30.8, "warn"),
    "6 turbo at 25 psi": (small_turbo(25), 30.3, 36.0, "fail"),
    "7 E85 at 20 psi": (on_tested_e85(20), 12.2, 16.7, "pass"),
    "7 E85 at 25 psi": (on_tested_e85(25), 16.1, 20.4, "warn"),
    "7 E85 at 30 psi": (on_tested_e85(30), 19.3, 23.7, "warn"),
    "7 the pump's E85, a tank of E70": (
        laid_over(small_turbo(25, 104, 88), {"fuel": {"grade": "e85"}}),
        19.2,
        None,
        "warn",
    ),
    "8 natural, 12.5:1, two valves": (natural(12.5, "two_valve", 98, 88), 16.9, 20.8, "warn"),
    "8 natural, 12.5:1, four valves": (natural(12.5, "four_valve", 98, 88), 15.5, None, "warn"),
    "8 natural, 11:1": (natural(11, "two_valve", 98, 88), 12.0, None, "pass"),
    "10 blown methanol": (BLOWN_METHANOL, 14.9, 19.0, "pass"),
}
# Charge temperature (and here chamber) were not handed down. The temperature is chosen so that the nominal
# phasing comes out; what is tested is the hot column and the verdict.
FITTED = {
    "9 marine, 8.6:1, 7 psi, 87 AKI": (
        boosted("marine", engine(8.6, "four_valve"), "screw", 7, 49, 91.5, 82.5),
        15.4,
        19.6,
        "warn",
    ),
    "9 tow, 9.4:1, 7 psi, 87 AKI": (
        boosted("tow", engine(9.4, "two_valve"), "screw", 7, 75.5, 91.5, 82.5),
        24.8,
        29.5,
        "fail",
    ),
    "10 drag turbo, 28 psi, 116 RON": (
        boosted("drag", engine(9.0, "two_valve"), "turbo", 28, 70, 116, 106),
        22.1,
        26.0,
        "warn",
    ),
}
ROWS = [pytest.param(*row, id=name) for name, row in (TABLE | FITTED).items()]


def degrees(angle):
    return float(np.degrees(angle))


@pytest.mark.parametrize(("build", "nominal", "hot", "verdict"), ROWS)
def test_knock(build, nominal, hot, verdict, work_out, outcome):
    assert degrees(work_out(build, "knock_limited_phasing", "peak_torque")) == pytest.approx(
        nominal, abs=WITHIN
    )
    if hot is not None:
        assert degrees(work_out(build, "knock_limited_phasing", "hot_peak_torque")) == pytest.approx(
            hot, abs=WITHIN
        )
    if verdict is not None:
        assert outcome("knock-margin", build) == verdict


# Where full boost comes in at 2,500 rpm it is later. Rows 1 to 4.
@pytest.mark.parametrize(
    ("ratio", "boost", "celsius", "early"),
    [(8.8, 6, 49, 12.8), (8.8, 9, 55, 17.2), (8.8, 12, 60, 20.8), (10.2, 12, 60, 26.9)],
)
def test_at_early_full_boost(ratio, boost, celsius, early, work_out):
    build = large_four_valve(ratio, boost, celsius, **FULL_BOOST_EARLY)
    assert degrees(work_out(build, "knock_limited_phasing", "full_boost")) == pytest.approx(early, abs=WITHIN)


def test_ethanol_cools_the_charge_without_the_name_of_a_grade(work_out):
    build = on_tested_e85(20)
    del build["fuel"]["grade"]
    assert degrees(work_out(build, "knock_limited_phasing", "peak_torque")) == pytest.approx(12.2, abs=WITHIN)


# Row 7: bar at the judged phasing, 6 degrees ahead of the knock limit. The rating is there for the check to
# have one.
@pytest.mark.parametrize(("boost", "pressure"), [(20, 146), (25, 158), (30, 163)])
def test_pressure_on_e85(boost, pressure, work_out):
    build = laid_over(on_tested_e85(boost), {"engine": {"cylinder_pressure_rating": "160 bar"}})
    assert work_out(build, "peak_cylinder_pressure", "peak_torque") / 1e5 == pytest.approx(pressure, abs=1)


@pytest.mark.parametrize(
    ("build", "expected"),
    [
        pytest.param(large_four_valve(8.8, 6, 49), "pass", id="1"),
        pytest.param(large_four_valve(8.8, 12, 60), "pass", id="3, on the limit"),
        pytest.param(old_two_valve(97, "port"), "warn", id="5, fuel after the blower"),
        pytest.param(old_two_valve(97, "before_compressor"), "not_applicable", id="5, fuel ahead of it"),
        pytest.param(small_turbo(20), "pass", id="6"),
        pytest.param(natural(12.5, "two_valve", 98, 88), "not_applicable", id="8"),
        pytest.param(BLOWN_METHANOL, "not_applicable", id="10, methanol"),
    ],
)
def test_charge_temperature(build, expected, outcome):
    assert outcome("charge-temperature", build) == expected


# Row 3: eight injectors of 50 lb/h; power, consumption in lb/hp/h, duty in per cent.
@pytest.mark.parametrize(
    ("power", "consumption", "duty", "verdict"),
    [
        (520, 0.58, 75.4, "pass"),
        (520, 0.62, 80.6, "pass"),
        (520, 0.65, 84.5, "pass"),
        (550, 0.58, 79.8, "pass"),
        (550, 0.62, 85.3, "warn"),
        (550, 0.65, 89.4, "warn"),
    ],
)
def test_injectors(power, consumption, duty, verdict, judged):
    injectors = {
        "injector_count": 8,
        "injector_flow": "50 lb/h",
        "injector_rated_fluid": "petrol",
        "injector_rated_pressure": "43.5 psi",
        "rail_pressure": "43.5 psi",
        "boost_referenced": "yes",
    }
    more = {
        "fuel_system": injectors,
        "fuel": {"brake_specific_consumption": f"{consumption} lb/hp/h"},
        "target": {"power": f"{power} hp", "power_at": "crank"},
    }
    found = judged("injector-duty", large_four_valve(8.8, 12, 60, **more))
    assert found["value"]["value"] == pytest.approx(duty, abs=0.06)
    assert found["verdict"] == verdict


# Row 3: 520 hp takes 196 L/h at 0.62 lb/hp/h, so 236 L/h is wanted at the pressure needed; 206 L/h is the
# least.
@pytest.mark.parametrize(("flow", "verdict"), [(240, "pass"), (232, "warn"), (209, "warn"), (203, "fail")])
def test_pump(flow, verdict, outcome):
    pump = {
        "pump_flow": f"{flow} L/h",
        "pump_count": 1,
        "pump_rated_pressure": "80 psi",
        "pump_voltage": "13.5 V",
        "pump_rated_voltage": "13.5 V",
        "rail_pressure": "39 psi",
        "boost_referenced": "yes",
    }
    more = {
        "fuel_system": pump,
        "fuel": {"grade": "premium_91_aki", "brake_specific_consumption": "0.62 lb/hp/h"},
        "target": {"power": "520 hp", "power_at": "crank"},
    }
    assert outcome("fuel-pump-flow", large_four_valve(8.8, 12, 60, **more)) == verdict


# Lambda at full load, common practice by fuel and delivery.
@pytest.mark.parametrize(
    ("build", "mixture", "expected"),
    [
        (large_four_valve(8.8, 12, 60), 0.80, "pass"),
        (large_four_valve(8.8, 12, 60), 0.89, "warn"),
        (large_four_valve(8.8, 12, 60), 0.93, "fail"),
        (small_turbo(20, fuel_system={"delivery": "direct"}), 0.91, "pass"),
        (small_turbo(20, fuel_system={"delivery": "direct"}), 0.99, "warn"),
        (small_turbo(20, fuel_system={"delivery": "direct"}), 1.03, "fail"),
        (natural(11, "two_valve", 98, 88), 0.91, "pass"),
        (natural(11, "two_valve", 98, 88), 0.98, "warn"),
        (natural(11, "two_valve", 98, 88), 1.02, "fail"),
        (on_tested_e85(20), 0.72, "pass"),
        (on_tested_e85(20), 0.88, "warn"),
        (BLOWN_METHANOL, 0.72, "pass"),
        (BLOWN_METHANOL, 0.69, "warn"),
        (BLOWN_METHANOL, 0.93, "fail"),
    ],
)
def test_mixture(build, mixture, expected, outcome):
    assert outcome("mixture-at-power", laid_over(build, {"fuel": {"air_fuel_lambda": mixture}})) == expected
