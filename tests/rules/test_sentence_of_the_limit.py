"""Where several limits can decide a verdict, the sentence told is that of the one that did."""

import pytest

PUMP = {
    "induction": {"boost": "12 psi"},
    "fuel_system": {
        "rail_pressure": "43.5 psi",
        "pump_rated_pressure": "60 psi",
        "supply_line_bore": "8.7 mm",
        "pump_flow": "518.8 L/h",
    },
    "target": {"power": "520 hp"},
}
BELT = {
    "engine": {"displacement": "5.0 L", "redline": "6500 rpm"},
    "induction": {
        "kind": "screw",
        "boost": "12 psi",
        "crank_pulley_diameter": "180 mm",
        "belt_wrap": "160 deg",
        "belt_tension": "1400 N",
        "belt_ribs": 10,
    },
}


def test_every_limit_of_another_quantity_has_a_sentence_of_its_own(real_rules):
    lacking = {
        (check.id, level, bound.judges)
        for check in real_rules.rulebook.checks.values()
        for level, bounds in check.limits.items()
        for bound in bounds[1:]
        if bound.judges != bounds[0].judges and not bound.text
    }
    assert lacking == set()


def test_a_pump_of_twice_the_flow_is_not_called_too_small(judged):
    """The label's one point is at 60 psi, a hair under the pressure it has to make."""
    entry = judged("fuel-pump-flow", PUMP)
    assert entry["verdict"] == "warn"
    assert "label" in entry["explanation"] and "pump's curve" in entry["explanation"]
    assert "little in hand" not in entry["explanation"] and "too small" not in entry["explanation"]


@pytest.mark.parametrize(("ribs", "verdict"), [(10, "pass"), (11, "warn")])
def test_a_belt_that_is_slack_is_called_slack(judged, ribs, verdict):
    """More ribs pull less each, and want more tension."""
    build = BELT | {"induction": BELT["induction"] | {"belt_ribs": ribs}}
    entry = judged("blower-belt", build)
    assert entry["verdict"] == verdict
    if verdict == "warn":
        assert "tension" in entry["explanation"] and "each rib pulls" not in entry["explanation"]
