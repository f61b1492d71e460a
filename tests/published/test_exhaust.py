"""Exhaust gas, its temperature and its back pressure: against CoolProp, published figures and exhausts as
sold.
"""

from math import pi

import pytest
from CoolProp.CoolProp import PropsSI

from tests.support.pint_units import UNIT


def exhaust(power, diameter, kind, count=1):
    return {
        "target": {"power": f"{power} hp", "power_at": "crank"},
        "induction": {"kind": kind},
        "exhaust": {"pipe_diameter": diameter, "pipe_count": count},
        "conditions": {"ambient_pressure": "101.325 kPa"},
    }


# 650 degC without boost and 700 behind a turbine are from memory; 6.1 and 6.6 lb of air for each hp and hour
# common practice.
@pytest.mark.parametrize(("kind", "air", "celsius"), [("natural", 6.1, 650), ("turbo", 6.6, 700)])
def test_velocity_of_hot_gas(kind, air, celsius, work_out):
    # CoolProp: the exhaust taken for real air, of which nitrogen is most.
    build = exhaust(300, "60 mm", kind)
    flow = (300 * air * (1 + 1 / (14.65 * 0.88)) * UNIT.pound / UNIT.hour).m_as("kilogram / second")
    density = PropsSI("D", "T", celsius + 273.15, "P", 101325, "Air")
    velocity = flow / density / (pi / 4 * 0.060**2)
    assert work_out(build, "exhaust_velocity") == pytest.approx(velocity, rel=2e-3)
    sound = PropsSI("A", "T", celsius + 273.15, "P", 101325, "Air")
    assert work_out(build, "exhaust_mach") == pytest.approx(velocity / sound, rel=0.01)


def test_two_pipes_halve_it(work_out):
    one, two = (work_out(exhaust(345, "2.5 in", "natural", count), "exhaust_velocity") for count in (1, 2))
    assert one == pytest.approx(2 * two)


# Exhausts as they were sold (from memory), and pipes that nobody would sell.
@pytest.mark.parametrize(
    ("power", "diameter", "kind", "count", "verdict"),
    [
        (300, "60 mm", "turbo", 1, "pass"),
        (420, "3.0 in", "natural", 1, "pass"),
        (112, "45 mm", "natural", 1, "pass"),
        (345, "2.5 in", "natural", 2, "pass"),
        (500, "2.0 in", "turbo", 1, "warn"),
        (300, "40 mm", "natural", 1, "warn"),
    ],
)
def test_pipes_as_sold(power, diameter, kind, count, verdict, outcome):
    assert outcome("exhaust-flow", exhaust(power, diameter, kind, count)) == verdict


def test_where_pipes_end_is_where_makers_end(work_out):
    # Common practice: a plain exhaust loses about three velocity heads. At Mach 0.5 that is the 50 kPa of a
    # workshop manual (2.2 L four, 2000), within a tenth.
    sound = PropsSI("A", "T", 923.15, "P", 101325, "Air")
    head = PropsSI("D", "T", 923.15, "P", 101325, "Air") * (0.5 * sound) ** 2 / 2
    assert 3 * head == pytest.approx(50e3, rel=0.1)


# Workshop manual of a 2.2 L four, 2000: at most 50 kPa at full throttle. After a turbine 8 psi, from memory.
@pytest.mark.parametrize(
    ("kind", "kilopascals", "verdict"),
    [("natural", 49, "pass"), ("natural", 51, "warn"), ("turbo", 54, "pass"), ("turbo", 60, "warn")],
)
def test_back_pressure(kind, kilopascals, verdict, outcome):
    build = {"induction": {"kind": kind}, "exhaust": {"back_pressure": f"{kilopascals} kPa"}}
    assert outcome("exhaust-back-pressure", build) == verdict


# V. Simon and others, 2000: 1,050 degC at the turbine was the task for series production; a maker allowed
# 1,000 for long (second hand). The rest is from memory. Not logged, not judged.
@pytest.mark.parametrize(
    ("kind", "celsius", "more", "verdict"),
    [
        ("turbo", 940, {}, "pass"),
        ("turbo", 1000, {}, "warn"),
        ("turbo", 1045, {}, "warn"),
        ("turbo", 1055, {}, "fail"),
        ("turbo", 940, {"turbine_material": "cast_iron"}, "warn"),
        ("turbo", 960, {"turbine_material": "cast_iron"}, "fail"),
        ("turbo", 1040, {"turbine_material": "cast_steel"}, "warn"),
        ("natural", 890, {}, "pass"),
        ("natural", 910, {}, "warn"),
        ("screw", 990, {}, "fail"),
        ("screw", None, {}, "not_checked"),
    ],
)
def test_exhaust_temperature(kind, celsius, more, verdict, outcome):
    logged = {} if celsius is None else {"gas_temperature": f"{celsius} degC"}
    assert outcome("exhaust-temperature", {"induction": {"kind": kind}, "exhaust": logged | more}) == verdict


def test_a_probe_after_the_turbine_reads_low(work_out):
    # From memory: port, collector and outlet of the turbine are up to 150 K apart; 100 K across the turbine.
    build = {"exhaust": {"gas_temperature": "900 degC", "gas_temperature_at": "after_turbine"}}
    assert work_out(build, "exhaust_temperature") == pytest.approx(1273.15)
    build["exhaust"]["gas_temperature_at"] = "before_turbine"
    assert work_out(build, "exhaust_temperature") == pytest.approx(1173.15)
