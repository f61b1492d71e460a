"""Reading a curve against numpy.interp."""

from math import isnan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.physics.curve import curve_at, curve_at_columns, curve_start

CURVE = ((0.0, 1.0, 3.0, 7.0), (10.0, 8.0, 8.0, -2.0))
number = st.floats(-1e6, 1e6, allow_subnormal=False)


@st.composite
def curves(draw):
    xs = np.cumsum(draw(st.lists(st.floats(1e-3, 1e3), min_size=2, max_size=12))) + draw(st.floats(-1e3, 1e3))
    ys = draw(st.lists(number, min_size=len(xs), max_size=len(xs)))
    return tuple(xs.tolist()), tuple(ys)


@given(curves(), st.floats(0, 1))
def test_against_numpy(curve, share):
    xs, ys = curve
    x = xs[0] + share * (xs[-1] - xs[0])
    x = min(x, xs[-1])
    expected = np.interp(x, xs, ys)
    span = max(ys) - min(ys)
    # At a steep step between close points the last bit of x shows.
    assert curve_at(curve, x) == pytest.approx(expected, rel=1e-9, abs=1e-9 * (span + 1))
    assert curve_at_columns(curve, [x, xs[0]]) == pytest.approx([curve_at(curve, x), ys[0]], rel=1e-12, abs=0)


@pytest.mark.parametrize("position", range(4))
def test_exact_at_its_points(position):
    xs, ys = CURVE
    assert curve_at(CURVE, xs[position]) == ys[position]
    assert curve_at_columns(CURVE, xs)[position] == ys[position]


@pytest.mark.parametrize(("x", "y"), [(0.5, 9.0), (2.0, 8.0), (5.0, 3.0)])
def test_by_hand(x, y):
    assert curve_at(CURVE, x) == pytest.approx(y)


@pytest.mark.parametrize("x", [-1e-9, 7.000001, -1e9, 1e9, float("inf"), float("nan")])
def test_unknown_outside(x):
    assert isnan(curve_at(CURVE, x))
    column = curve_at_columns(CURVE, [x, 0.5])
    assert isnan(column[0]) and column[1] == pytest.approx(9.0)


def test_columns_keep_their_shape():
    assert curve_at_columns(CURVE, np.zeros((2, 3))).shape == (2, 3)
    assert float(curve_at_columns(CURVE, 0.5)) == pytest.approx(9.0)


@given(curves())
def test_start(curve):
    xs, ys = curve
    assert curve_start(curve) == np.interp(xs[0], xs, ys) == curve_at(curve, xs[0])
