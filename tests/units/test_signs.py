"""The signs of units in text: known to the table of units, and read back as the unit they stand for."""

import pytest

from service.units.signs import SIGNS, signed
from service.units.units import DIMENSIONS, find_unit

WORKED_OUT_ONLY = {"kPa/krpm", "psi/krpm"}


@pytest.mark.parametrize(
    ("number", "unit", "text"), [("27", "deg", "27°"), ("95", "degF", "95 °F"), ("1", "", "1")]
)
def test_a_number_with_its_sign(number, unit, text):
    assert signed(number, unit) == text


@pytest.mark.parametrize("unit", SIGNS)
def test_a_sign_stands_for_a_unit_and_is_read_as_it(unit):
    dimensions = [name for name, dimension in DIMENSIONS.items() if unit in dimension.units]
    assert dimensions
    if unit in WORKED_OUT_ONLY:
        return
    for dimension in dimensions:
        assert find_unit(dimension, SIGNS[unit].strip()) is find_unit(dimension, unit)
