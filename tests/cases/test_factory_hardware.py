"""
Hardware as it was sold is not condemned, and hardware known to be wrong is not passed.

The data, the source and the mark of every figure (read, derived or from memory) are in factory-hardware.yaml.
Nothing in it was fitted to what the service answers.
"""

from collections import Counter
from pathlib import Path

import pytest

from service.errors import ServiceError
from tests.support.places import RULES
from tests.support.yaml_data import read_yaml

CASES = read_yaml(Path(__file__).parent / "factory-hardware.yaml")
ENTRIES = CASES["entries"]
ENGINES = CASES["natural_engines"] + CASES["boosted_engines"]
CHECKS = {path.stem: read_yaml(path) for path in (RULES / "checks").glob("*.yaml")}
LIMITED = {check for check, rule in CHECKS.items() if rule.keys() & {"limits", "requires", "contradictions"}}
CAN_FAIL = {
    check
    for check, rule in CHECKS.items()
    if "fail" in rule.get("limits", {}) or rule.get("if_missing") == "fail"
}
MARKS = {"read", "derived", "from memory"}
VERDICTS = ("pass", "warn", "fail", "not_checked", "not_applicable")


def miss(entry, verdict, can_fail):
    """What is wrong with this verdict on this entry; nothing if it is right."""
    if entry["expect"] == "wrong":
        return None if verdict in ("warn", "fail") else f"wrong hardware came out as {verdict}"
    right = {"pass"}
    if can_fail:
        right.add("warn")
    if applies_not(entry):
        right.add("not_applicable")
    return None if verdict in right else f"sound hardware came out as {verdict}"


def applies_not(entry):
    return entry.get("applies") is False


def of(check, expect):
    return [entry for entry in ENTRIES if (entry["check"], entry["expect"]) == (check, expect)]


def figures(tree):
    """The names under which a build states a figure; a map or a curve is one figure."""
    for name, value in tree.items():
        if isinstance(value, dict) and not any(isinstance(part, list) for part in value.values()):
            yield from figures(value)
        elif not isinstance(value, str) or value[0].isdigit():
            yield name


def marked(entry):
    """An entry known to come out wrong says its cause under `miss`; it goes once the entry comes out."""
    marks = [pytest.mark.xfail(reason=entry["miss"], strict=True)] if "miss" in entry else []
    return pytest.param(entry, id=entry["id"], marks=marks)


@pytest.fixture(scope="module")
def verdict_of(outcome):
    """The verdict of an entry, worked out once; a build that the service refuses is a verdict too."""
    known = {}

    def find(entry):
        if entry["id"] not in known:
            try:
                known[entry["id"]] = outcome(entry["check"], entry["build"])
            except ServiceError as refusal:
                known[entry["id"]] = f"refused: {refusal}"
        return known[entry["id"]]

    return find


@pytest.mark.parametrize("entry", [marked(entry) for entry in ENTRIES])
def test_verdict(entry, verdict_of):
    found = miss(entry, verdict_of(entry), entry["check"] in CAN_FAIL)
    assert not found, (entry["check"], found, entry.get("why", entry["about"]))


@pytest.mark.parametrize("check", sorted({entry["check"] for entry in ENTRIES}))
def test_a_check_does_not_warn_of_all_that_is_sound(check, verdict_of):
    # Common practice: a warning that is always given is no warning.
    verdicts = [verdict_of(entry) for entry in of(check, "sound")]
    assert "pass" in verdicts, verdicts


@pytest.mark.parametrize("verdict", VERDICTS)
def test_a_service_that_always_says_the_same_is_caught(verdict):
    misses = [entry for entry in ENTRIES if miss(entry, verdict, entry["check"] in CAN_FAIL)]
    assert len(misses) >= 30, verdict
    if verdict != "warn":
        assert {entry["check"] for entry in misses} == {entry["check"] for entry in ENTRIES}


def test_there_are_enough_of_them():
    counts = Counter(entry["expect"] for entry in ENTRIES)
    assert counts["sound"] >= 150 and counts["wrong"] >= 60 and set(counts) == {"sound", "wrong"}
    assert len(CASES["natural_engines"]) >= 20 and len(CASES["boosted_engines"]) >= 15


def test_the_checks_are_looked_at_from_both_sides():
    """All but the few that have been added since; one that cannot be has its reason."""
    seen = {check for check in LIMITED if of(check, "sound") and of(check, "wrong")}
    assert len(LIMITED - seen - set(CASES["not_covered"])) <= 0.05 * len(LIMITED)


def test_no_entry_is_for_a_check_that_is_not_there():
    assert {entry["check"] for entry in ENTRIES} | set(CASES["not_covered"]) <= LIMITED


def test_ids_are_used_once():
    counts = Counter(thing["id"] for thing in ENTRIES + ENGINES)
    assert [id for id, count in counts.items() if count > 1] == []


@pytest.mark.parametrize("thing", [pytest.param(thing, id=thing["id"]) for thing in ENTRIES + ENGINES])
def test_every_figure_has_a_mark(thing):
    stated = thing.get("build") or {
        name: part for name, part in thing.items() if name not in ("id", "about", "marks")
    }
    assert set(thing["marks"]) == set(figures(stated))
    assert set(thing["marks"].values()) <= MARKS


@pytest.mark.parametrize("entry", [pytest.param(entry, id=entry["id"]) for entry in ENTRIES])
def test_every_entry_says_where_it_comes_from(entry):
    assert entry["source"]
    assert ("why" in entry) == (entry["expect"] == "wrong")


def test_every_new_input_says_who_needs_it():
    ids = {entry["id"] for entry in ENTRIES}
    for new in CASES["new_inputs"]:
        assert new["name"] and new["ask"] and new["why"]
        assert set(new["used_by"]) <= ids


def test_misses_are_few_and_have_their_cause():
    misses = [entry for entry in ENTRIES if "miss" in entry]
    assert len(misses) <= 0.01 * len(ENTRIES) and all(len(entry["miss"]) > 20 for entry in misses)
