"""Comparison of pulls against scipy, against hand figures, and against simulated pulls."""

import numpy
import pytest
from scipy import stats

from service.dyno.pulls import Pulls
from service.dyno.two_sets import compare, paired_power, scatter_that_would_do, welch_power

A, B = (401.2, 403.0, 402.1), (409.8, 411.9, 410.3)
TRIALS = 10_000


def test_welch_against_scipy_and_the_worked_example():
    """Worked by script elsewhere: difference 8.57, t 10.457, df 3.853, p 0.00057, interval 6.26 to 10.88."""
    comparison = compare(Pulls(A), Pulls(B))
    reference = stats.ttest_ind(B, A, equal_var=False)
    assert comparison.statistic == pytest.approx(reference.statistic) and comparison.chance == pytest.approx(
        reference.pvalue
    )
    interval = reference.confidence_interval(0.95)
    assert (comparison.low, comparison.high) == pytest.approx((interval.low, interval.high))
    assert (
        comparison.difference,
        comparison.statistic,
        comparison.freedom,
        comparison.chance,
    ) == pytest.approx((8.57, 10.457, 3.853, 0.00057), rel=5e-3)
    assert (comparison.low, comparison.high) == pytest.approx((6.26, 10.88), abs=0.01)
    assert comparison.real


def test_paired_against_scipy():
    comparison = compare(Pulls(A), Pulls(B), interleaved=True)
    reference = stats.ttest_rel(B, A)
    assert comparison.test == "paired" and comparison.freedom == 2
    assert comparison.statistic == pytest.approx(reference.statistic) and comparison.chance == pytest.approx(
        reference.pvalue
    )


@pytest.mark.slow
@pytest.mark.parametrize("count", [3, 5])
def test_identical_pulls_raise_few_false_alarms(count):
    source = numpy.random.default_rng(7)
    a, b = source.normal(300, 3, (2, TRIALS, count))
    alarms = numpy.mean(stats.ttest_ind(b, a, axis=1, equal_var=False).pvalue < 0.05)
    called_real = numpy.mean(
        [compare(Pulls(tuple(x)), Pulls(tuple(y))).real for x, y in zip(a[:100], b[:100], strict=True)]
    )
    assert alarms <= 0.055
    # The service's own verdicts are scipy's, trial by trial.
    assert called_real == numpy.mean(stats.ttest_ind(b[:100], a[:100], axis=1, equal_var=False).pvalue < 0.05)


@pytest.mark.parametrize("count", [3, 5])
@pytest.mark.parametrize("shift", [1.0, 2.0, 3.0])
def test_detection_is_what_the_service_states(count, shift):
    source = numpy.random.default_rng(11)
    a, b = source.normal(0, 1, (2, TRIALS, count))
    share = numpy.mean(stats.ttest_ind(b + shift, a, axis=1, equal_var=False).pvalue < 0.05)
    assert welch_power(shift, 1.0, 1.0, count, count) == pytest.approx(share, abs=0.02)


@pytest.mark.parametrize("count", [3, 5])
def test_paired_detection_is_what_the_service_states(count):
    source = numpy.random.default_rng(12)
    pairs = source.normal(2.0, 1.0, (TRIALS, count))
    share = numpy.mean(stats.ttest_1samp(pairs, 0.0, axis=1).pvalue < 0.05)
    assert paired_power(2.0, 1.0, count) == pytest.approx(share, abs=0.02)


def test_unequal_scatter_and_counts():
    source = numpy.random.default_rng(13)
    a, b = source.normal(0, 1, (TRIALS, 3)), source.normal(3, 2, (TRIALS, 6))
    share = numpy.mean(stats.ttest_ind(b, a, axis=1, equal_var=False).pvalue < 0.05)
    assert welch_power(3.0, 1.0, 2.0, 3, 6) == pytest.approx(share, abs=0.02)


def test_what_the_smallest_difference_means():
    comparison = compare(Pulls(A), Pulls(B))
    scatters = Pulls(A).scatter, Pulls(B).scatter
    assert welch_power(comparison.seen, *scatters, 3, 3) == pytest.approx(0.80, abs=1e-3)


def test_more_pulls_for_a_smaller_claim():
    needed = [compare(Pulls(A), Pulls(B), claimed=claim).needed for claim in (8.0, 4.0, 2.0, 1.0)]
    assert needed == sorted(needed) and needed[0] < needed[-1]
    assert welch_power(2.0, Pulls(A).scatter, Pulls(B).scatter, needed[2], needed[2]) >= 0.8


def test_three_pulls_of_a_shop():
    """Common practice: three pulls averaging 285.5 hp and 299.7 lb-ft, then three averaging 289.2 and 306.7:
    +1.3 and +2.3 %.

    By hand with equal scatter and four degrees of freedom: 3.7 / (2.776 x sqrt(2/3)) = 1.63 hp; 7.0 / 2.267 =
    3.09 lb-ft.
    """
    assert (
        pytest.approx(0.013, abs=5e-4) == 289.2 / 285.5 - 1
        and pytest.approx(0.023, abs=5e-4) == 306.7 / 299.7 - 1
    )
    assert scatter_that_would_do(285.5, 289.2, 3, 3) == pytest.approx(1.632, abs=2e-3)
    assert scatter_that_would_do(299.7, 306.7, 3, 3) == pytest.approx(3.088, abs=2e-3)


def test_at_that_scatter_the_difference_is_just_real():
    scatter = scatter_that_would_do(285.5, 289.2, 3, 3)
    three = lambda mean, spread: Pulls((mean - spread, mean, mean + spread))
    assert compare(three(285.5, scatter * 0.999), three(289.2, scatter * 0.999)).real
    assert not compare(three(285.5, scatter * 1.001), three(289.2, scatter * 1.001)).real


def test_a_drift_is_found_and_a_step_is_none():
    comparison = compare(Pulls((100.0, 99.1, 98.0, 97.1)), Pulls((96.0, 95.1, 94.0, 92.9)), in_order=True)
    assert comparison.drift == pytest.approx(-1.0, abs=0.05) and comparison.drift_chance < 0.01
    step = compare(Pulls((100.0, 100.4, 99.8, 100.1)), Pulls((105.0, 105.3, 104.7, 105.2)), in_order=True)
    assert step.drift_chance > 0.2


def test_beside_a_drift_a_step_has_to_stand_by_itself():
    """The fit of step and slope together, as scipy's own linear model would have it: here by the normal
    equations of numpy.
    """
    soak = compare(Pulls((300.0, 299.0, 298.1)), Pulls((297.0, 296.0, 295.1)), in_order=True)
    assert soak.real and soak.drift_chance < 0.05 and soak.beside_drift > 0.05
    gain = compare(Pulls((300.0, 299.0, 298.1)), Pulls((307.0, 306.1, 305.0)), in_order=True)
    assert gain.beside_drift < 0.01


def test_in_turns_a_drift_does_not_pass_for_a_gain():
    """Heat soak of one unit a pull, no gain at all: set after set it looks like one, in turns it does not."""
    after = compare(Pulls((100.0, 99.0, 98.1)), Pulls((97.0, 96.0, 95.1)))
    assert after.real and after.difference < 0
    in_turns = compare(Pulls((100.0, 98.0, 96.1)), Pulls((99.1, 96.9, 95.0)), interleaved=True, in_order=True)
    assert in_turns.drift == pytest.approx(-1.0, abs=0.1)


@pytest.mark.parametrize(
    ("a", "b", "interleaved"), [((1.0,), (1.0, 2.0), False), ((1.0, 2.0), (1.0, 2.0, 3.0), True)]
)
def test_too_little_is_refused(a, b, interleaved):
    with pytest.raises(ValueError):
        compare(Pulls(a), Pulls(b), interleaved)


def test_means_of_one_pull_say_nothing():
    with pytest.raises(ValueError):
        scatter_that_would_do(100.0, 101.0, 1, 3)


def test_no_scatter_at_all():
    same = compare(Pulls((5.0, 5.0)), Pulls((5.0, 5.0)))
    assert not same.real and same.difference == 0
    assert compare(Pulls((5.0, 5.0)), Pulls((6.0, 6.0))).real
