"""A turbo on its compressor map: corrected flow against real air (CoolProp), lines against numpy.interp."""

import numpy as np
import pint
import pytest
from CoolProp.CoolProp import PropsSI

UNIT = pint.UnitRegistry()
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
                },
                "induction": {
                    "kind": "turbo",
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
        return sized(2.0 * flow / work_out(sized(2.0), "corrected_flow"))

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
    assert work_out(build, "surge_margin") == pytest.approx(flow / surge - 1, rel=1e-6)
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
