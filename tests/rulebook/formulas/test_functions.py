"""The basic functions of formulas, both ways of computing them."""

from decimal import Decimal, localcontext
from math import isnan, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.rulebook.formulas.functions import FUNCTIONS


def both(name, *values):
    """By float and by column."""
    function = FUNCTIONS[name]
    columns = (np.array([value]) for value in values)
    return float(function.scalar(*values)), float(function.array(*columns)[0])


@pytest.mark.parametrize(("condition", "chosen"), [(True, 2.0), (False, 3.0)])
def test_where_chooses(condition, chosen):
    # By definition.
    assert both("where", condition, 2.0, 3.0) == (chosen, chosen)


# IEEE 754-2019, minimum and maximum (from memory): not a number if either is.
@pytest.mark.parametrize(
    ("first", "second", "smaller", "larger"),
    [(1.0, 2.0, 1.0, 2.0), (2.0, -1.0, -1.0, 2.0), (nan, 1.0, nan, nan), (1.0, nan, nan, nan)],
)
def test_smaller_and_larger(first, second, smaller, larger):
    assert both("minimum", first, second) == pytest.approx((smaller, smaller), nan_ok=True)
    assert both("maximum", first, second) == pytest.approx((larger, larger), nan_ok=True)


@pytest.mark.parametrize(("name", "method"), [("sqrt", "sqrt"), ("exp", "exp"), ("log", "ln")])
@given(value=st.floats(1e-3, 50.0))
def test_against_decimal_arithmetic(name, method, value):
    with localcontext() as context:
        context.prec = 40
        expected = float(getattr(Decimal(value), method)())
    assert both(name, value) == pytest.approx((expected, expected), rel=1e-14, abs=1e-15)


@given(st.floats(1e-3, 50.0), st.floats(-5.0, 5.0))
def test_powers_against_decimal_arithmetic(base, exponent):
    with localcontext() as context:
        context.prec = 40
        expected = float(Decimal(base) ** Decimal(exponent))
    assert both("power", base, exponent) == pytest.approx((expected, expected), rel=1e-13)


def test_a_negative_base_has_no_power():
    with pytest.raises(ValueError, match="negative"):
        FUNCTIONS["power"].scalar(-1.0, 0.5)
    with np.errstate(invalid="ignore"):
        assert isnan(FUNCTIONS["power"].array(np.array([-1.0]), 0.5)[0])
