"""Numbers as people read them: signs of units, ranges without idle tenths."""

import pytest

from service.evaluation.reporting.display import Shower
from service.units.units import find_unit


def shower(dimension, unit, digits=3):
    return Shower(dimension, unit, digits)


def si(dimension, number, unit):
    known = find_unit(dimension, unit)
    return number * known.factor + known.offset


@pytest.mark.parametrize(
    ("dimension", "unit", "low", "high", "text"),
    [
        ("power", "hp", 6.86, 17.1, "7 to 17 hp"),
        ("density", "kg/L", 0.72, 0.775, "0.72 to 0.775 kg/L"),
        ("angle", "deg", 15.2, 25.5, "15 to 26°"),
        ("ratio", "%", 60.5, 103, "60 to 103 %"),
    ],
)
def test_a_wide_range_has_no_tenths(dimension, unit, low, high, text):
    ends = (si(dimension, number, unit) for number in (low, high))
    assert shower(dimension, unit).between(*ends) == text


def test_text_has_the_sign_and_the_unit_its_plain_spelling():
    shown = shower("temperature", "degF").measure(si("temperature", 95, "degF"))
    assert (shown["unit"], shown["text"]) == ("degF", "95 °F")
    assert shower("temperature", "degF").written(si("temperature", 95, "degF")) == "95 degF"
