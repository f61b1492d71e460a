"""spec-consistency: what is said twice has to agree, what is said once should be believable."""

import pytest

from service.evaluation.request import Request


@pytest.mark.parametrize(
    ("mass", "verdict"),
    # 10 m/s2: 100 N is 10 kg. The spread is a share of the larger.
    [
        ("10 kg", "pass"),
        ("10.5 kg", "pass"),
        ("9.5 kg", "pass"),
        ("10.6 kg", "warn"),
        ("9.4 kg", "warn"),
        ("20 kg", "warn"),
        ("20.1 kg", "fail"),
    ],
)
def test_two_routes_that_disagree(entry, mass, verdict):
    judged = entry("spec-consistency", {"load": {"force": "100 N", "mass": mass}})
    assert judged["verdict"] == verdict
    if verdict != "pass":
        [finding] = judged["findings"]
        assert (finding["kind"], finding["verdict"]) == ("disagreement", verdict)
        assert finding["inputs"] == ["load.force", "load.mass"]
        assert "100 N" in finding["text"] and finding["text"] == judged["explanation"]


def test_an_assumption_disagrees_with_nobody(entry):
    # The assumed strength of 1 cm2 of steel is 10 kN, the stated one 1 N.
    judged = entry("spec-consistency", {"rope": {"area": "1 cm2", "material": "steel", "strength": "1 N"}})
    assert judged["verdict"] == "pass" and "findings" not in judged


@pytest.mark.parametrize(
    ("force", "usual"), [("10 N", True), ("20 kN", True), ("9.99 N", False), ("20.1 kN", False)]
)
def test_a_value_outside_the_usual_is_remarked_upon(entry, force, usual):
    judged = entry("spec-consistency", {"load": {"force": force}})
    assert judged["verdict"] == ("pass" if usual else "warn")
    if not usual:
        [finding] = judged["findings"]
        assert (finding["kind"], finding["inputs"]) == ("unusual", ["load.force"])
        assert "10 N to 20000 N" in finding["text"]


@pytest.mark.parametrize(
    ("material", "force", "verdict"),
    [
        ("hemp", "5 kN", "pass"),
        ("hemp", "5.1 kN", "fail"),
        ("steel", "5.1 kN", "pass"),
        (None, "5.1 kN", "pass"),
    ],
)
def test_a_contradiction_under_its_guard(entry, material, force, verdict):
    judged = entry(
        "spec-consistency", {"load": {"force": force}, "rope": {"material": material} if material else {}}
    )
    assert judged["verdict"] == verdict
    if verdict == "fail":
        assert judged["findings"] == [
            {
                "kind": "contradiction",
                "verdict": "fail",
                "inputs": ["load.force", "rope.material"],
                "text": "No hemp rope carries 5100 N.",
            }
        ]


def test_all_findings_are_told_and_the_worst_counts(entry):
    judged = entry(
        "spec-consistency", {"load": {"force": "30 kN", "mass": "2000 kg"}, "rope": {"material": "hemp"}}
    )
    assert judged["verdict"] == "fail"
    assert [finding["kind"] for finding in judged["findings"]] == ["contradiction", "disagreement", "unusual"]
    assert all(finding["text"] in judged["explanation"] for finding in judged["findings"])


def test_findings_in_the_units_of_the_answer(entry):
    judged = entry("spec-consistency", {"load": {"force": "100 N", "mass": "20 kg"}}, units="us")
    # NIST SP 811: 1 lbf = 4.448222 N.
    assert "22.5 lbf" in judged["explanation"] and " N " not in judged["explanation"]


def test_altitude_against_air_pressure_in_the_real_rules(both):
    for evaluator in both:
        reply = evaluator.evaluate(
            Request(
                {"conditions": {"altitude": "0 m", "ambient_pressure": "101.325 kPa"}},
                checks=("spec-consistency",),
            )
        )
        assert reply["checks"][0]["verdict"] == "pass"
        reply = evaluator.evaluate(
            Request(
                {"conditions": {"altitude": "2900 m", "ambient_pressure": "1013 mbar"}},
                checks=("spec-consistency",),
            )
        )
        assert reply["checks"][0]["findings"][0]["inputs"] == [
            "conditions.altitude",
            "conditions.ambient_pressure",
        ]
