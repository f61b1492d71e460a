"""Whole builds as a foreman sees them, builds whose fault no parts list shows, and what no answer may ever say."""

import re

import pytest

PROMISES = re.compile(r"\b(safe|safely|guarantee\w*|will hold|cannot fail|will not fail|no risk|reliab\w+|bulletproof)\b", re.IGNORECASE)

FIVE_LITRE = {
    "engine": {
        "cylinders": 8, "displacement": "5.0 L", "bore": "92.2 mm", "stroke": "94 mm", "rod_length": "155 mm", "compression_ratio": 8.8, "chamber_design": "four_valve",
        "peak_power_speed": "6000 rpm", "peak_torque_speed": "3500 rpm", "redline": "6500 rpm",
    },
    "usage": "street",
    "induction": {"kind": "screw", "boost": "12 psi"},
    "charge_cooling": {"kind": "liquid", "charge_temperature": "60 degC", "coolant": "glycol_50", "coolant_flow": "20 L/min"},
    "fuel": {"grade": "premium_91_aki"},
    "fuel_system": {"delivery": "port", "injector_count": 8, "injector_flow": "50 lb/h", "injector_rated_fluid": "petrol", "rail_pressure": "43.5 psi", "injector_rated_pressure": "43.5 psi", "boost_referenced": "yes"},
    "clutch": {"torque_rating": "700 lb-ft", "torque_rating_at": "crank", "torque_rating_state": "bedded"},
    "target": {"power": "520 hp", "power_at": "crank"},
}  # fmt: skip


def with_changes(build, **groups):
    """A copy with fields of some groups changed."""
    return {**build, **{group: {**build.get(group, {}), **fields} if isinstance(fields, dict) else fields for group, fields in groups.items()}}


def verdicts(reply):
    found = {entry["check"]: entry["verdict"] for entry in reply["checks"]}
    found |= {entry["check"]: "not_checked" for entry in reply["not_checked"] if entry["check"] not in found}
    return found | {entry["check"]: "not_applicable" for entry in reply["not_applicable"]}


# Common practice and sums worked by hand: what a foreman expects of a typical street build.
@pytest.mark.parametrize(
    ("changes", "whole", "expected"),
    [
        ({"induction": {"boost": "6 psi"}, "charge_cooling": {"charge_temperature": "49 degC"}, "target": {"power": "420 hp"}}, "pass", {"knock-margin": "pass", "injector-duty": "pass", "clutch-torque": "pass"}),
        ({}, "warn", {"knock-margin": "warn", "injector-duty": "pass", "clutch-torque": "pass", "charge-coolant-loop": "warn", "charge-temperature": "pass"}),
        ({"target": {"power": "550 hp"}, "fuel": {"brake_specific_consumption": "0.62 lb/hp/h"}}, "warn", {"injector-duty": "warn"}),
        ({"engine": {"compression_ratio": 10.2}, "induction": {"full_boost_speed": "2500 rpm"}, "ignition": {"knock_control": False}}, "fail", {"knock-margin": "fail"}),
        ({"engine": {"compression_ratio": 10.2}, "induction": {"full_boost_speed": "2500 rpm"}, "ignition": {"knock_control": True}}, "warn", {"knock-margin": "warn"}),
    ],
)
def test_a_street_build(changes, whole, expected, reply_to):
    build = with_changes(FIVE_LITRE, **changes)
    if whole == "pass":
        build["charge_cooling"] = {"kind": "liquid", "charge_temperature": "48.5 degC"}
    reply = reply_to(build)
    found = verdicts(reply)
    assert {check: found[check] for check in expected} == expected
    assert reply["verdict"] == whole, reply["headline"]


def test_a_boat_is_judged_harder_and_never_passes_on_unknown_parts(reply_to):
    build = with_changes(FIVE_LITRE, usage="marine", induction={"boost": "7 psi"}, engine={"compression_ratio": 8.6}, fuel={"grade": "regular_87_aki"}, charge_cooling={"charge_temperature": "43.5 degC"})
    reply = reply_to(build)
    assert verdicts(reply)["marine-parts"] == "not_checked"
    assert verdicts(reply)["knock-margin"] == "warn"
    assert not reply["complete"]
    assert reply_to(build, require=("marine-parts",))["verdict"] == "not_checked"


def test_fuel_ahead_of_the_blower_leaves_its_outlet_unjudged(reply_to):
    build = with_changes(FIVE_LITRE, fuel={"grade": "methanol"}, fuel_system={"delivery": "before_compressor"})
    found = verdicts(reply_to(build))
    assert found["charge-temperature"] == found["compressor-outlet-temperature"] == "not_applicable"


# Faults that no parts list shows: a starved pump (wiring), uneven mixture between cylinders, a ring put in upside down.
@pytest.mark.parametrize(
    "build",
    [
        {"fuel_system": {"injector_count": 8, "injector_flow": "60 lb/h", "rail_pressure": "43.5 psi", "injector_rated_pressure": "43.5 psi", "boost_referenced": "yes"}, "induction": {"kind": "screw", "boost": "6 psi"}, "target": {"power": "420 hp", "power_at": "crank"}},
        {"induction": {"kind": "turbo", "boost": "6 psi"}, "sensors": {"manifold_pressure_range": "2.5 bar"}, "charge_cooling": {"kind": "air", "charge_temperature": "40 degC"}},
    ],
)
def test_a_fault_outside_the_numbers_passes_and_says_no_more(build, reply_to):
    reply = reply_to(build)
    assert reply["verdict"] == "pass", reply["headline"]
    assert reply["headline"].startswith("Nothing found in the numbers given")


def test_no_text_of_the_rulebook_promises_safety(real_rules):
    rulebook = real_rules.rulebook
    texts = [caution.text for caution in rulebook.cautions.values()]
    for check in rulebook.checks.values():
        texts += [part for sentences in check.text.values() for sentence in sentences for part in sentence.parts if isinstance(part, str)]
        texts.append(check.title)
    assert len(texts) > 300
    assert [text for text in texts if PROMISES.search(text)] == []


@pytest.mark.parametrize("caution", ["fuel-under-pressure", "bursting-clutch", "broken-shafts", "thrown-belt", "boat-fire", "tyre-speed", "head-retorque", "alcohol-hose", "overspeed", "dyno-run", "emissions"])
def test_cautions_defer_to_those_who_answer_for_it(caution, real_rules):
    text = real_rules.rulebook.cautions[caution].text.lower()
    assert re.search(r"maker|code|authority|rules of the event|trained", text), text


def test_every_explanation_is_filled_in(reply_to):
    from tests.benchmarks.builds import FULL

    seen = 0
    for usage in ("street", "track", "drag", "tow", "marine"):
        for power in ("200 hp", "700 hp", "1500 hp"):
            build = with_changes(FULL, usage=usage, target={"power": power})
            for entry in reply_to(build, detail="full")["checks"]:
                assert entry["explanation"] and not re.search(r"[{}]|None|nan", entry["explanation"]), entry
                assert not PROMISES.search(entry["explanation"])
                seen += 1
    assert seen > 700
