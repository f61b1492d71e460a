"""A turbo on its compressor map: corrected flow against real air (CoolProp), lines against numpy.interp."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from tests.support.pint_units import UNIT

PSI = 6894.757293168361
SURGE, CHOKE = ((10, 1.2), (18, 2.0), (26, 2.8)), ((50, 1.2), (56, 2.8))
POINTS = ((12, 1.2, 0.62), (48, 1.2, 0.60), (34, 2.0, 0.76), (24, 2.6, 0.66), (52, 2.6, 0.68))
LINES = {
    name: [{"flow": f"{flow} lb/min", "pressure_ratio": ratio} for flow, ratio in line]
    for name, line in (("surge", SURGE), ("choke", CHOKE))
}
MAP = LINES | {
    "points": [
        {"flow": f"{flow} lb/min", "pressure_ratio": ratio, "efficiency": efficiency}
        for flow, ratio, efficiency in POINTS
    ]
}
DEPRESSION = 0.2 * PSI  # ahead of the compressor, from memory


@pytest.fixture(scope="module")
def at_map(work_out):
    """A turbo engine whose corrected flow and pressure ratio are these: flow goes with its size."""

    def build(pounds_a_minute, ratio, celsius=25.0, kilopascals=101.325, dry=0.0):
        def sized(litres):
            return {
                "engine": {
                    "displacement": f"{litres!r} L",
                    "volumetric_efficiency": 1.0,
                    "peak_power_speed": "6500 rpm",
                    "peak_torque_speed": "6500 rpm",
                },
                "induction": {
                    "kind": "turbo",
                    "full_boost_speed": "6500 rpm",
                    "boost": f"{ratio * (kilopascals * 1e3 - DEPRESSION) - kilopascals * 1e3!r} Pa",
                    "compressor_map": MAP,
                },
                "charge_cooling": {"kind": "air", "charge_temperature": "45 degC", "pressure_drop": "0 bar"},
                "conditions": {
                    "ambient_temperature": f"{celsius} degC",
                    "ambient_pressure": f"{kilopascals} kPa",
                },
            }

        flow = (pounds_a_minute * UNIT.pound / UNIT.minute).m_as("kilogram / second")
        return sized(2.0 * flow / work_out(sized(2.0), "corrected_flow", "peak_power"))

    return build


@pytest.mark.parametrize(("celsius", "kilopascals"), [(25, 101.325), (40, 101.325), (25, 84.56), (-5, 95)])
def test_corrected_flow(celsius, kilopascals, at_map, work_out):
    # At one corrected flow the same throat runs at the same Mach number: real air of CoolProp through 20 cm2
    # at Mach 0.3.
    build = at_map(30, 1.8, celsius, kilopascals)
    flow = work_out(build, "air_flow", "peak_power")

    def through_throat(kelvin, pascals):
        return (
            PropsSI("D", "T", kelvin, "P", pascals, "Air")
            * 0.3
            * PropsSI("A", "T", kelvin, "P", pascals, "Air")
        )

    here, reference = (
        through_throat(celsius + 273.15, kilopascals * 1e3 - DEPRESSION),
        through_throat(298.15, 101325.0),
    )
    assert (flow * UNIT.kilogram / UNIT.second).m_as("pound / minute") * reference / here == pytest.approx(
        30, rel=2e-3
    )


@pytest.mark.parametrize(("flow", "ratio"), [(20, 1.4), (30, 2.0), (45, 2.4), (15, 1.7)])
def test_place_on_the_map(flow, ratio, at_map, work_out):
    build = at_map(flow, ratio)
    surge, choke = (np.interp(ratio, *reversed(list(zip(*line, strict=False)))) for line in (SURGE, CHOKE))
    assert work_out(build, "surge_margin", "peak_power") == pytest.approx(flow / surge - 1, rel=1e-6)
    assert work_out(build, "choke_share") == pytest.approx(flow / choke, rel=1e-6)


@pytest.mark.parametrize(("flow", "ratio", "efficiency"), POINTS[2:3])
def test_efficiency_at_a_point_of_the_map(flow, ratio, efficiency, at_map, work_out):
    assert work_out(at_map(flow, ratio), "compressor_point_efficiency") == pytest.approx(efficiency, abs=1e-4)


@pytest.mark.parametrize(
    ("flow", "ratio", "verdict"),
    # Limits from memory: surge margin of 10 %, efficiency of 65 %; at pressure ratio 2.0 surge is at 18
    # lb/min and choke at 53.
    [(34, 2.0, "pass"), (19, 2.0, "warn"), (17, 2.0, "fail"), (47, 1.25, "warn")],
)
def test_compressor_verdict(flow, ratio, verdict, at_map, outcome):
    assert outcome("compressor-match", at_map(flow, ratio)) == verdict


def test_beyond_choke_of_a_map_without_points_there(at_map, outcome):
    # 54 lb/min is past choke (53), and past the points, where efficiency is unknown: the fail shows all the
    # same.
    assert outcome("compressor-match", at_map(54, 2.0)) == "fail"


def test_surge_lives_at_the_lowest_speed_of_full_boost(at_map, work_out, outcome):
    # By hand: flow goes with speed; 34 lb/min at 6,500 rpm are 15.7 at 3,000, left of the 18 of the surge
    # line.
    build = at_map(34, 2.0)
    assert outcome("compressor-match", build) == "pass"
    build["induction"]["full_boost_speed"] = "3000 rpm"
    assert work_out(build, "surge_margin", "full_boost") == pytest.approx(34 * 3000 / 6500 / 18 - 1, rel=1e-4)
    assert outcome("compressor-match", build) == "fail"


def test_two_compressors_share_the_air(at_map, work_out, outcome):
    build = at_map(54, 2.0)
    build["induction"]["compressor_count"] = 2
    flow = (work_out(build, "corrected_flow", "peak_power") * UNIT.kilogram / UNIT.second).m_as(
        "pound / minute"
    )
    assert flow == pytest.approx(27)
    assert outcome("compressor-match", build) == "pass"


def test_reference_of_the_map(at_map, work_out):
    # Many maps are corrected to 545 degR and 28.4 inHg (from memory); by hand the flow is 5.8 % less there.
    build = at_map(30, 2.0)
    before = work_out(build, "corrected_flow", "peak_power")
    build["induction"] |= {"map_temperature": f"{545 / 1.8!r} K", "map_pressure": "28.4 inHg"}
    expected = (298.15 / (545 / 1.8)) ** 0.5 * (28.4 * UNIT.inHg).m_as("pascal") / 101325
    assert work_out(build, "corrected_flow", "peak_power") == pytest.approx(before * expected, rel=1e-4)
    assert expected == pytest.approx(1 - 0.058, abs=2e-3)


def test_the_efficiency_of_the_map_is_used(at_map, work_out):
    # At a point of the map its efficiency of 0.76 makes the heat, as real air has it (CoolProp).
    build = at_map(34, 2.0)
    assert work_out(build, "compressor_efficiency", "peak_power") == pytest.approx(0.76, abs=1e-4)
    start, pressure = 298.15, 101325 - DEPRESSION
    enthalpy = PropsSI("H", "T", start, "P", pressure, "Air")
    entropy = PropsSI("S", "T", start, "P", pressure, "Air")
    ideal = PropsSI("H", "P", 2 * pressure, "S", entropy, "Air")
    real = PropsSI("T", "P", 2 * pressure, "H", enthalpy + (ideal - enthalpy) / 0.76, "Air")
    assert work_out(build, "compressor_outlet_temperature", "peak_power") == pytest.approx(real, rel=2e-3)


# Common practice: 6.6 lb of air for each hp and hour; 550 of 475 hp is 116 %, and 400 hp takes 44 lb/min.
@pytest.mark.parametrize(
    ("rating", "power", "count", "share", "verdict"),
    [
        ("475 hp", 550, 1, 550 / 475, "warn"),
        ("475 hp", 550, 2, 550 / 950, "pass"),
        ("50 lb/min", 400, 1, 400 * 6.6 / 60 / 50, "pass"),
        ("40 lb/min", 400, 1, 400 * 6.6 / 60 / 40, "warn"),
    ],
)
def test_rating(rating, power, count, share, verdict, work_out, outcome):
    build = {
        "induction": {"kind": "turbo", "compressor_rating": rating, "compressor_count": count},
        "target": {"power": f"{power} hp", "power_at": "crank"},
    }
    assert work_out(build, "compressor_rating_share") == pytest.approx(share, rel=1e-6)
    assert outcome("compressor-rating", build) == verdict
