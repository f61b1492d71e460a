"""The combination of uncertainties against the worked example of its own standard, and by property."""

from math import hypot

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.evaluation.judging.combination import combined

# JCGM 100:2008, annex H.1, calibration of an end gauge of 50 mm: what each input does to the length by itself
# (nm), and the combined standard uncertainty the example arrives at (H.1.4, 32 nm). Recalled figures of the
# published table: from memory.
END_GAUGE = {"standard": 25.0, "comparator": 9.7, "expansion": 2.9, "temperature": 16.6}
END_GAUGE_COMBINED = 32.0

MOVES = st.lists(st.floats(-1e3, 1e3), max_size=8)


def test_the_end_gauge_of_the_standard():
    value = 50_000_838.0
    low, high, *_ = combined(value, [(value - effect, value + effect) for effect in END_GAUGE.values()])
    assert high - value == pytest.approx(END_GAUGE_COMBINED, abs=0.5)
    assert value - low == pytest.approx(END_GAUGE_COMBINED, abs=0.5)


def test_a_product_of_powers_adds_relative_widths():
    # JCGM 100:2008, 5.1.6: of a product, the squares of the relative uncertainties add.
    volts, amperes = (12.0, 0.12), (5.0, 0.1)
    power = 12.0 * 5.0
    low, high, *_ = combined(
        power,
        [
            ((volts[0] - volts[1]) * 5.0, (volts[0] + volts[1]) * 5.0),
            (12.0 * (amperes[0] - amperes[1]), 12.0 * (amperes[0] + amperes[1])),
        ],
    )
    assert (high - low) / 2 / power == pytest.approx(hypot(0.01, 0.02), rel=1e-9)


@given(st.floats(-1e3, 1e3), MOVES)
def test_the_sides_are_apart(value, moves):
    low, high, *_ = combined(value, [(value, value + abs(move)) for move in moves])
    assert low == value and high >= value


@given(st.floats(-1e3, 1e3), MOVES)
def test_between_the_widest_and_the_sum(value, moves):
    _, high, *_ = combined(value, [(value, value + abs(move)) for move in moves])
    widest, total = max(map(abs, moves), default=0.0), sum(map(abs, moves))
    assert widest - 1e-6 <= high - value <= total + 1e-6


def test_one_input_that_only_rises_counts_once_with_its_larger_end():
    assert combined(10.0, [(13.0, 14.0)])[:2] == (10.0, 14.0)
    assert combined(10.0, [(14.0, 13.0)])[:2] == (10.0, 14.0)


def test_a_value_that_could_not_be_worked_out_moves_nothing():
    assert combined(1.0, [(float("nan"), float("nan"))]) == (1.0, 1.0, 1.0, 1.0)


@given(st.floats(-1e3, 1e3), MOVES)
def test_the_reach_lies_between_the_range_and_the_worst_of_all(value, moves):
    reach = combined(value, [(value, value + abs(move)) for move in moves])
    assert reach.least == value
    assert reach.high <= reach.most + 1e-9 and reach.most <= value + sum(map(abs, moves)) + 1e-6


def test_one_input_reaches_no_further_than_its_end():
    assert combined(0.0, [(-2.0, 1.0)]) == (-2.0, 1.0, -2.0, 1.0)


def test_even_draws_of_several_inputs_pass_the_reach_once_in_fifty():
    """An independent way: 200,000 sums of five even draws; a normal tail is a little heavier than theirs."""
    draws = numpy.random.default_rng(3).uniform(-1, 1, (200_000, 5)).sum(axis=1)
    reach = combined(0.0, [(-1.0, 1.0)] * 5)
    assert 0.01 <= numpy.mean(draws > reach.most) <= 0.02
    assert numpy.mean((draws >= reach.low) & (draws <= reach.high)) >= 0.9


def test_even_draws_of_inputs_with_one_side_pass_the_reach_once_in_fifty():
    """The typical value is an end of each: what is drawn evenly has its middle elsewhere."""
    random = numpy.random.default_rng(4)
    sides = [(-1.0, 0.2), (-1.0, 0.0), (-0.5, 0.5), (-0.8, 0.1)]
    draws = sum(random.uniform(low, high, 200_000) for low, high in sides)
    reach = combined(0.0, sides)
    assert numpy.mean(draws < reach.least) <= 0.02
    assert numpy.mean((draws >= reach.least) & (draws <= reach.most)) >= 0.9
