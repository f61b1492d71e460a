"""Two builds side by side: the sum of the figures by hand, and which verdicts move."""

import pytest

from service.advice.build_comparison import compare_builds

BASE = {
    "engine": {
        "displacement": "5.0 L",
        "cylinders": 8,
        "compression_ratio": 9,
        "peak_power_speed": "6200 rpm",
    },
    "induction": {"kind": "screw", "boost": "9 psi"},
    "fuel": {"aki": 93, "brake_specific_consumption": "0.60 lb/hp/h"},
    "fuel_system": {
        "injector_count": 8,
        "injector_flow": "42 lb/h",
        "injector_rated_fluid": "petrol",
        "injector_rated_pressure": "43.5 psi",
        "rail_pressure": "43.5 psi",
        "boost_referenced": "yes",
    },
    "target": {"power": "500 hp", "power_at": "crank"},
}


def changed(**groups):
    return BASE | {group: BASE[group] | fields for group, fields in groups.items()}


def test_bigger_injectors_get_better(real_rules):
    """500 x 0.60 is 300 lb/h: 89 % of eight 42s, 62 % of eight 60s (0.85 is the ceiling)."""
    answer = compare_builds(real_rules, [BASE, changed(fuel_system={"injector_flow": "60 lb/h"})], "us")
    assert answer["better"] == ["injector-duty"] and answer["worse"] == []
    assert {"check": "injector-duty", "verdicts": ["warn", "pass"]} in answer["verdicts"]
    flow = next(figure for figure in answer["figures"] if figure["figure"] == "injector_flow")
    assert flow["change"] == pytest.approx(18) and [value["text"] for value in flow["values"]] == [
        "42 lb/h",
        "60 lb/h",
    ]


def test_more_boost_makes_more_and_may_cost(real_rules):
    answer = compare_builds(real_rules, [BASE, changed(induction={"boost": "14 psi"})], "us")
    power = next(figure for figure in answer["figures"] if figure["figure"] == "expected_power")
    assert power["change"] > 0 and "hp more" in answer["headline"]
    assert "knock-margin" in answer["worse"]


def test_a_temperature_changes_by_degrees_and_not_by_points_of_a_scale(real_rules):
    """From 77 to 95 degF it is 18 degF more, whatever the scale begins at."""
    builds = [
        BASE | {"charge_cooling": {"kind": "liquid", "charge_temperature": text}}
        for text in ("77 degF", "95 degF")
    ]
    answer = compare_builds(real_rules, builds, "us")
    charge = next(figure for figure in answer["figures"] if figure["figure"] == "charge_temperature")
    assert charge["change"] == pytest.approx(18, abs=1e-6)


def test_the_same_twice(real_rules):
    answer = compare_builds(real_rules, [BASE, BASE], "us")
    assert answer["verdicts"] == [] and answer["better"] == answer["worse"] == []
    assert "makes the same power" in answer["headline"]


def test_what_is_not_modelled_is_said_first(real_rules):
    rotary = BASE | {"engine": {"type": "rotary", "displacement": "1.3 L"}}
    answer = compare_builds(real_rules, [BASE, rotary], "us")
    assert answer["scope"] and answer["headline"].startswith(answer["scope"][0]["text"])


def test_four_builds(real_rules):
    builds = [changed(target={"power": f"{power} hp"}) for power in (300, 400, 500, 700)]
    answer = compare_builds(real_rules, builds, "us")
    assert all(len(line["verdicts"]) == 4 for line in answer["verdicts"])
    assert answer["headline"].startswith("The fourth ")


def test_nothing_is_found_only_where_something_was_judged(real_rules):
    empty = compare_builds(real_rules, [{}, {"usage": "street"}], "us")
    assert empty["headline"] == "I can't compare the verdicts yet; the questions say what is missing."
    cool = {"oil": {"temperature": "100 degC"}}
    sound = compare_builds(real_rules, [cool, {"oil": {"temperature": "110 degC"}}], "us")
    assert sound["headline"].startswith("Nothing found in the numbers given:")


def test_what_was_not_judged_again_is_not_got_rid_of(real_rules):
    hot = {"oil": {"temperature": "155 degC"}}
    silent = compare_builds(real_rules, [hot, {"usage": "street"}], "us")
    assert "gets rid" not in silent["headline"] and "oil temperature" in silent["headline"]
    cured = compare_builds(real_rules, [hot, {"oil": {"temperature": "100 degC"}}], "us")
    assert "gets rid of the weak link, the oil temperature" in cured["headline"]
    new = compare_builds(real_rules, [{"usage": "street"}, hot], "us")
    assert "brings" not in new["headline"] and "can't be judged in the first" in new["headline"]
