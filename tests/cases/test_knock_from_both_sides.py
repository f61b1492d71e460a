"""
How far the calculated phasing of direct-injected turbo engines that were sold lies past what such engines
run, and that no dangerous build lies within that doubt.

The engines are those of factory-hardware.yaml; their boost and charge temperature are from memory.
"""

from pathlib import Path

import numpy as np
import pytest

from tests.support.yaml_data import read_yaml

ENTRIES = [
    entry
    for entry in read_yaml(Path(__file__).parent / "factory-hardware.yaml")["entries"]
    if entry["check"] == "knock-margin"
]
WRONG = [entry for entry in ENTRIES if entry["expect"] == "wrong"]
DIRECT_TURBOS = [
    entry
    for entry in ENTRIES
    if entry["expect"] == "sound"
    and entry["build"]["induction"]["kind"] == "turbo"
    and entry["build"]["fuel_system"]["delivery"] == "direct"
]
# B. Hamilton, Gasoline FAQ, 1996, 6.16: cars of one model differ by up to 6 octane numbers, and one is a
# degree of spark (F. Russ, SAE 960497).
BETWEEN_CARS = 6
UNTOLD = ("chamber_design", "bore", "stroke")
POINTS = ("peak_torque", "full_boost", "peak_power")


@pytest.fixture(scope="module")
def past_the_latest(work_out):
    """Degrees of the worst point past the latest phasing of the street, engine by engine."""

    def past(entry):
        build = {**entry["build"], "usage": "street"}
        phasing = max(work_out(build, "knock_limited_phasing", point) for point in POINTS)
        return float(np.degrees(phasing - work_out(build, "latest_phasing")))

    return {entry["id"]: past(entry) for entry in DIRECT_TURBOS}


def test_the_doubt_is_needed_and_is_enough(past_the_latest):
    known = {entry["id"] for entry in DIRECT_TURBOS if "miss" in entry}
    past = [degrees for id, degrees in past_the_latest.items() if id not in known]
    assert len(past) >= 20
    # Measured in November 2026: 13 of 22 come out past the latest, the worst by 5.5 degrees.
    assert sum(degrees > 0 for degrees in past) >= len(past) / 3
    assert 3 < max(past) <= BETWEEN_CARS


@pytest.mark.parametrize("entry", [pytest.param(entry, id=entry["id"]) for entry in WRONG])
def test_a_dangerous_build_fails_in_spite_of_the_doubt(entry, outcome):
    assert outcome("knock-margin", entry["build"]) == "fail", entry["why"]


def half_told(build):
    """What a customer knows of his engine: no chamber, no cylinder, no charge temperature."""
    engine = {name: told for name, told in build["engine"].items() if name not in UNTOLD}
    rest = {name: part for name, part in build.items() if name not in ("charge_cooling", "ignition")}
    induction = {"kind": "turbo", "boost": build["induction"]["boost"]}
    return {**rest, "usage": "street", "engine": engine, "induction": induction}


def test_half_a_spec_is_seldom_failed(outcome):
    # Measured in November 2026: 3 of 23, one of them among the misses; an assumption stands for each word.
    verdicts = [outcome("knock-margin", half_told(entry["build"])) for entry in DIRECT_TURBOS]
    assert verdicts.count("fail") <= 3 and "not_checked" not in verdicts
