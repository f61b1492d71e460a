"""Curves with a band that holds everywhere at once: it covers the truth in simulated pulls, and finds a gain
where there is one.
"""

import numpy
import pytest

from service.dyno.two_curves import compare_curves

SPEEDS = numpy.linspace(200, 650, 91)
SIMULATIONS = 1500


def noise(source, count, ripples=6):
    """One offset a pull and a smooth ripple along it, in share of the curve."""
    offset = 0.006 * source.standard_normal((count, 1))
    phases, sizes = (
        source.uniform(0, 2 * numpy.pi, (count, ripples)),
        0.003 * source.standard_normal((count, ripples)),
    )
    along = (SPEEDS - SPEEDS[0]) / (SPEEDS[-1] - SPEEDS[0])
    ripple = sum(
        sizes[:, [number]] * numpy.sin(2 * numpy.pi * (number + 1) * along + phases[:, [number]])
        for number in range(ripples)
    )
    return offset + ripple


def pulls(source, count, gain=0.0):
    curve = 400 * (1 - ((SPEEDS - 480) / 700) ** 2)
    return [(SPEEDS, values) for values in curve * (1 + noise(source, count)) * (1 + gain)]


@pytest.mark.slow
@pytest.mark.parametrize("count", [3, 5])
def test_the_band_covers_no_difference(count):
    source = numpy.random.default_rng(17)
    covered = sum(
        not compare_curves(pulls(source, count), pulls(source, count)).real.any() for _ in range(SIMULATIONS)
    )
    assert covered / SIMULATIONS >= 0.94


def test_a_gain_at_the_top_is_found_there_only():
    source = numpy.random.default_rng(18)
    gain = numpy.where(SPEEDS > 500, 0.08, 0.0)
    comparison = compare_curves(pulls(source, 5), pulls(source, 5, gain))
    assert comparison.real[comparison.speeds > 520].mean() > 0.9
    assert not comparison.real[comparison.speeds < 480].any()


def test_unequal_grids_are_brought_together_and_it_says_so():
    source = numpy.random.default_rng(19)
    first = pulls(source, 3)
    second = [(speeds[::2], values[::2]) for speeds, values in pulls(source, 3)]
    assert not compare_curves(first, first).interpolated
    comparison = compare_curves(first, second)
    assert (
        comparison.interpolated and comparison.speeds[0] >= SPEEDS[0] and comparison.speeds[-1] <= SPEEDS[-1]
    )


def test_the_difference_is_that_of_the_means():
    first = [([1.0, 2.0], [10.0, 20.0]), ([1.0, 2.0], [12.0, 22.0])]
    second = [([1.0, 2.0], [13.0, 26.0]), ([1.0, 2.0], [15.0, 24.0])]
    comparison = compare_curves(first, second)
    assert comparison.difference == pytest.approx([3.0, 4.0])


@pytest.mark.parametrize(
    "first",
    [
        [([1.0, 2.0], [1.0, 2.0])],
        [([0.0, 2.0], [1.0, 2.0])] * 2,
        [([-1.0, 2.0], [1.0, 2.0])] * 2,
        [([1.0, 1.0], [1.0, 2.0])] * 2,
        [([1.0, 2.0], [1.0, float("nan")])] * 2,
        [([1.0, 2.0], [1.0])] * 2,
        [([10.0, 20.0], [1.0, 2.0])] * 2,
    ],
)
def test_curves_that_are_none_are_refused(first):
    with pytest.raises(ValueError):
        compare_curves(first, [([1.0, 2.0], [1.0, 2.0])] * 2)


def test_pulls_that_meet_at_one_speed_prove_nothing_there():
    first = [([100.0, 200.0, 300.0], [10.0, 20.0, 31.0]), ([100.0, 200.0, 300.0], [12.0, 20.0, 29.0])]
    second = [([100.0, 200.0, 300.0], [10.5, 20.1, 30.0]), ([100.0, 200.0, 300.0], [11.5, 20.1, 30.5])]
    comparison = compare_curves(first, second)
    assert (
        not comparison.real.any()
        and list(comparison.speeds) == [100.0, 200.0, 300.0]
        and not comparison.interpolated
    )


def test_sides_that_are_unlike_are_marked():
    source = numpy.random.default_rng(21)
    assert compare_curves(pulls(source, 3), pulls(source, 5)).unlike
    wide = [(speeds, 400 + 4 * (values - 400)) for speeds, values in pulls(source, 4)]
    assert compare_curves(pulls(source, 4), wide).unlike
