"""Units and readings of formulas: which sums, products and calls mean something, and what they give."""

import pint
import pytest

from service.rulebook.formulas.formula import parse_formula
from service.rulebook.formulas.kinds import Kind, base_of, describe, kind_of, same
from service.rulebook.verify.dimensions import (
    DimensionError,
    check_formula,
)
from service.units.units import DIMENSIONS

KINDS = {
    "gauge": kind_of("pressure", "gauge"),
    "absolute": kind_of("pressure", "absolute"),
    "drop": kind_of("pressure", "difference"),
    "level": kind_of("temperature"),
    "rise": kind_of("temperature_difference"),
    "power": kind_of("power"),
    "torque": kind_of("torque"),
    "speed": kind_of("rotational_speed"),
    "length": kind_of("length"),
    "flow": kind_of("mass_flow"),
    "octane": kind_of("octane"),
    "ratio": kind_of("ratio"),
    "angle": kind_of("angle"),
    "curve": Kind((), None, (kind_of("pressure", "gauge"), kind_of("mass_flow")), "curve"),
}

# Kelvin's scale and the gauge: how each pair adds and subtracts follows from what is counted from where.
SUMS = [
    ("absolute + gauge", "absolute"),
    ("gauge + absolute", "absolute"),
    ("absolute + drop", "absolute"),
    ("drop + absolute", "absolute"),
    ("gauge + gauge", "gauge"),
    ("gauge + drop", "gauge"),
    ("drop + gauge", "gauge"),
    ("drop + drop", "difference"),
    ("absolute + absolute", None),
    ("absolute - gauge", "absolute"),
    ("absolute - drop", "absolute"),
    ("absolute - absolute", "difference or gauge"),
    ("gauge - gauge", "difference or gauge"),
    ("gauge - drop", "gauge"),
    ("gauge - absolute", None),
    ("drop - absolute", None),
    ("drop - drop", "difference"),
    ("level + rise", "level"),
    ("rise + level", "level"),
    ("rise + rise", "difference"),
    ("level + level", None),
    ("level - level", "difference"),
    ("level - rise", "level"),
    ("rise - level", None),
    ("2 * gauge + 0 * gauge", "gauge"),
    ("-absolute + absolute", None),
    ("absolute + 0", "absolute"),
    ("0 + gauge", "gauge"),
    ("where(gauge > 0, gauge, 0)", "gauge"),
    ("maximum(absolute, absolute)", "absolute"),
    ("maximum(gauge, absolute)", None),
    ("where(gauge > absolute, 1, 2) * gauge", None),
    ("where(ratio > 1, gauge, absolute)", None),
    ("gauge / absolute * gauge", None),
]


@pytest.mark.parametrize(("text", "reading"), SUMS, ids=[text for text, _ in SUMS])
def test_readings_of_sums(text, reading):
    if reading is None:
        with pytest.raises(DimensionError):
            check_formula(parse_formula(text), KINDS)
    else:
        assert check_formula(parse_formula(text), KINDS).readings == frozenset(reading.split(" or "))


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("torque * speed", "power"),
        ("power / speed", "torque"),
        ("power / power", "ratio"),
        ("length * length", "area"),
        ("length ** 3", "volume"),
        ("sqrt(length ** 2)", "length"),
        ("length / length ** -1", "area"),
        ("absolute / absolute", "ratio"),
        ("absolute / gauge ** 0 / absolute", "ratio"),
        ("gauge * length ** 2", "force"),
        ("pi * angle + ratio", "ratio"),
        ("exp(ratio) * power", "power"),
        ("power * where(level > level, 1, 2)", "power"),
        ("curve_at(curve, gauge)", "mass_flow"),
        ("standard_pressure(length)", "pressure"),
    ],
)
def test_dimension_of_products(text, dimension):
    assert check_formula(parse_formula(text), KINDS).base == base_of(dimension)


REFUSED = [
    ("power + torque", "a power and a torque do not add"),
    ("octane + ratio", "an octane number and a ratio do not add"),
    ("octane - level", "an octane number and a temperature do not add"),
    ("power + 1", "a power and a ratio do not add"),
    ("absolute + absolute", "an absolute pressure + an absolute pressure means nothing"),
    ("absolute / gauge", "a gauge pressure over an absolute one is no pressure ratio"),
    ("log(power)", "log() takes a ratio"),
    ("power(length, 2)", "power() takes a ratio"),
    ("where(power > torque, 1, 2)", "compares `power` and `torque`"),
    ("maximum(power, torque)", "maximum() takes `power` and `torque`"),
    ("curve + 1", "uses the curve `curve` as a number"),
    ("curve_at(curve, absolute)", "which is an absolute pressure; its x is a gauge pressure"),
    ("curve_at(gauge, gauge)", "where it takes a curve"),
    ("sqrt(1, 2)", "gives sqrt() 2 arguments; it takes 1"),
    ("standard_pressure(power)", "takes a length as `altitude`; `power` is a power"),
]


@pytest.mark.parametrize(("text", "says"), REFUSED, ids=[text for text, _ in REFUSED])
def test_refused_with_the_part_that_does_not_fit(text, says):
    with pytest.raises(DimensionError) as caught:
        check_formula(parse_formula(text), KINDS)
    assert says in str(caught.value)


@pytest.mark.parametrize("name", DIMENSIONS)
def test_base_dimensions_are_those_of_the_unit(name):
    registry = pint.UnitRegistry()
    registry.define("octane_number = [octane]")
    assert dict(base_of(name)) == dict(registry.Quantity(1, DIMENSIONS[name].si).dimensionality)


@pytest.mark.parametrize(
    ("result", "declared", "fits"),
    [
        ("gauge", "gauge", True),
        ("gauge", "absolute", False),
        ("drop", "gauge", False),
        ("power", "torque", False),
        ("angle", "ratio", True),
        ("level", "rise", False),
    ],
)
def test_a_result_may_stand_only_for_what_was_declared(result, declared, fits):
    assert (same(KINDS[result], KINDS[declared]) is None) is fits


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (KINDS["gauge"], "a gauge pressure"),
        (KINDS["absolute"], "an absolute pressure"),
        (KINDS["drop"], "a pressure difference"),
        (KINDS["level"], "a temperature"),
        (KINDS["rise"], "a temperature difference"),
        (KINDS["octane"], "an octane number"),
        (KINDS["angle"], "a ratio"),
        (Kind((("[length]", 7.0),)), "length^7"),
    ],
)
def test_kinds_in_words(kind, words):
    assert describe(kind) == words
