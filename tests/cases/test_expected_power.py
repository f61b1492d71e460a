"""The power to expect of engines that were sold, against the power they were rated at.

Data and marks are in factory-hardware.yaml (natural and boosted engines); rated air is 25 degC. What is
expected rests on common practice and a cycle from memory; nothing is fitted to these engines.
"""

import statistics

import pytest

from tests.cases.test_rated_power import CASES, plan_for, rated

RATED_AIR = {"ambient_temperature": "25 degC"}
LEAST_INSIDE = 0.80
FARTHEST_MEAN = 0.03
WIDEST = 0.25


def build_of(engine):
    build = plan_for(engine, rated(engine)) | {"conditions": RATED_AIR}
    del build["target"]
    build["engine"] |= {key: engine["engine"][key] for key in ("compression_ratio", "cylinders")}
    build["fuel"] = {key: engine["fuel"][key] for key in ("ron", "aki") if key in engine["fuel"]}
    return build


@pytest.fixture(scope="module")
def expected(reply_to):
    """By kind, for each engine: expected over rated power, whether the range holds it, the range's width."""

    def of(engine):
        figures = {figure["figure"]: figure for figure in reply_to(build_of(engine))["figures"]}
        figure = figures["expected_power"]
        low, high = figure["range"]["low"], figure["range"]["high"]
        return (
            figure["value"] / rated(engine),
            low <= rated(engine) <= high,
            (high - low) / figure["value"],
        )

    return {kind: [of(engine) for engine in CASES[kind]] for kind in ("natural_engines", "boosted_engines")}


@pytest.mark.parametrize("kind", ["natural_engines", "boosted_engines"])
def test_most_engines_make_what_is_expected(expected, kind):
    inside = [held for _, held, _ in expected[kind]]
    assert sum(inside) / len(inside) >= LEAST_INSIDE, inside
    assert statistics.mean(share for share, _, _ in expected[kind]) == pytest.approx(1, abs=FARTHEST_MEAN)


def test_the_range_of_a_natural_engine_is_of_use(expected):
    assert max(width for _, _, width in expected["natural_engines"]) <= WIDEST


def test_more_compression_makes_more_of_the_same_air(reply_to):
    """Heywood's constant-volume cycle (from memory): 1 - r^-0.3 is 0.4831 at 9, 0.5254 at 12, 8.8 % more."""

    def power(ratio):
        build = {
            "engine": {"displacement": "2.0 L", "peak_power_speed": "6500 rpm", "compression_ratio": ratio},
            "induction": {"kind": "natural"},
        }
        figures = {figure["figure"]: figure for figure in reply_to(build)["figures"]}
        return figures["expected_power"]["value"]

    assert power(12) / power(9) == pytest.approx(0.5254 / 0.4831, rel=2e-3)
