"""Boost of a drive, with its range, against drives on which the pressure was measured."""

import pytest

PSI = 6894.757293168361
SEA_LEVEL = 101_325


def standard_air(feet):
    """Temperature and pressure of ISO 2533 at an altitude."""
    temperature = 288.15 - 0.0065 * feet * 0.3048
    return temperature, SEA_LEVEL * (temperature / 288.15) ** 5.2559


def flown(ratio, feet):
    temperature, pressure = standard_air(feet)
    return {
        "engine": {
            "displacement": "27.0 L",
            "cylinders": 12,
            "chamber_design": "two_valve",
            "peak_power_speed": "1700 rpm",
        },
        "induction": {
            "kind": "roots",
            "boost": f"{SEA_LEVEL - pressure!r} Pa",
            "blower_displacement": "10.82 L",
            "blower_drive_ratio": ratio,
        },
        "charge_cooling": {"kind": "none"},
        "conditions": {"ambient_temperature": f"{temperature!r} K", "ambient_pressure": f"{pressure!r} Pa"},
    }


# O. W. Schey, W. D. Gove, The effect of supercharger capacity on engine and airplane performance, NACA
# (abstract read): a roots at 1.615, 1.957 and 2.4 times engine speed held sea-level pressure to 7,000,
# 11,500 and 17,000 ft. (The fourth, 3 times and 22,000 ft, lies in thinner air than the rules take.) Engine
# of 27 L at 1,700 rpm and 0.382 cubic feet for each turn of the blower: from memory.
FLOWN = [(1.615, 7_000), (1.957, 11_500), (2.4, 17_000)]


@pytest.mark.parametrize(("ratio", "feet"), FLOWN)
def test_range_holds_what_was_measured_in_flight(ratio, feet, work_out):
    build = flown(ratio, feet)
    measured = SEA_LEVEL - standard_air(feet)[1]
    assert work_out(build, "least_boost_from_drive") < measured < work_out(build, "most_boost_from_drive")


@pytest.mark.parametrize(("ratio", "feet"), FLOWN)
def test_a_slower_drive_does_not_hold_it(ratio, feet, work_out):
    # By hand: a drive a third slower moves a third less air, far more than the range is wide.
    build = flown(ratio / 1.5, feet)
    measured = SEA_LEVEL - standard_air(feet)[1]
    assert work_out(build, "most_boost_from_drive") < measured


def car(engine, induction, cooler):
    displacement, chamber, speed = engine
    kind, size, ratio, boost = induction
    return {
        "engine": {"displacement": displacement, "chamber_design": chamber, "peak_power_speed": speed},
        "induction": {
            "kind": kind,
            "boost": boost,
            "blower_displacement": size,
            "blower_drive_ratio": ratio,
        },
        "charge_cooling": {"kind": cooler},
    }


# Published account of a 4.0 L V8 of 1998: 1.835 L, pulleys of 5.5 and 3 in (read); 11.9 psi at 6,150 rpm
# from memory. A 3.8 L V6 of 1989: 1.475 L at 2.6 times crank speed, 12 psi at 4,200 rpm, from memory.
@pytest.mark.parametrize(
    ("build", "psi"),
    [
        (
            car(("3.996 L", "four_valve", "6150 rpm"), ("roots", "1.835 L", 5.5 / 3, "11.9 psi"), "liquid"),
            11.9,
        ),
        (car(("3.791 L", "two_valve", "4200 rpm"), ("roots", "1.475 L", 2.6, "12 psi"), "air"), 12),
    ],
)
def test_range_holds_cars_as_sold(build, psi, work_out):
    assert work_out(build, "least_boost_from_drive") < psi * PSI < work_out(build, "most_boost_from_drive")


@pytest.mark.parametrize(("ratio", "feet"), FLOWN)
def test_how_wide_the_range_is(ratio, feet, work_out):
    # By hand: half of 0.78 to 0.97 about 0.88, with half of 0.88 to 1.05 about 0.97 or less, is 14 % of the
    # pressure above vacuum, either way; the measured drives lie within 9 %.
    build = flown(ratio, feet)
    pressure = standard_air(feet)[1]
    least, middle, most = (
        pressure + work_out(build, f"{name}boost_from_drive") for name in ("least_", "", "most_")
    )
    assert most / middle - 1 == pytest.approx(0.14, abs=0.01)
    assert 1 - least / middle == pytest.approx(0.14, abs=0.01)
    assert SEA_LEVEL / middle == pytest.approx(1, abs=0.14)
