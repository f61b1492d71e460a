"""Exactly at a limit is not beyond it, however the number was come by; beyond it never reads as at it."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.evaluation.request import Request
from tests.support.rules import real_evaluator

SPEEDS = st.integers(10, 90).map(lambda hundreds: 100 * hundreds)
RATIOS = st.sampled_from([1.7, 2.2, 2.35, 2.4, 2.5, 2.6, 2.9, 3.1])


def blower_speed(redline: float, ratio: float, limit: float):
    build = {
        "induction": {
            "kind": "screw",
            "blower_drive_ratio": ratio,
            "blower_speed_limit": f"{limit:.10g} rpm",
        },
        "engine": {"redline": f"{redline:.10g} rpm"},
    }
    [entry] = real_evaluator().evaluate(Request(build, checks=("blower-speed",)))["checks"]
    return entry


@pytest.mark.parametrize(("redline", "limit"), [(5500, 13750), (5000, 12500), (6000, 15000)])
def test_three_drives_at_their_limit_read_alike(redline, limit):
    assert blower_speed(redline, 2.5, limit)["verdict"] == "warn"


@given(SPEEDS, RATIOS)
def test_at_the_limit_is_not_beyond_it(redline, ratio):
    assert blower_speed(redline, ratio, redline * ratio)["verdict"] == "warn"


# A redline and a pulley ratio are rounded figures, so the check leaves one percent.
@given(SPEEDS, RATIOS)
def test_at_the_end_of_the_rounding_is_not_beyond_it(redline, ratio):
    assert blower_speed(redline, ratio, redline * ratio / 1.01)["verdict"] == "warn"


@given(SPEEDS, RATIOS, st.floats(1.0101, 1.014))
def test_a_little_beyond_it_is_said_as_beyond(redline, ratio, excess):
    entry = blower_speed(redline, ratio, redline * ratio / excess)
    assert entry["verdict"] == "fail"
    assert entry["value"]["text"] != entry["limit"]["text"]
    shown = float(re.match(r"[\d.]+", entry["value"]["text"])[0])
    assert shown > 101 and entry["value"]["text"] in entry["explanation"]
