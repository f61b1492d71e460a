"""Kits and engines as delivered: parts that fill several slots, and give way to what is bought for one."""

import pytest

from service.catalog.catalog import Catalog, disagreements, misfits
from service.catalog.expand import expanded
from service.catalog.folder import read_folder
from service.errors import CatalogError
from tests.support.places import CATALOG
from tests.support.rules import parts_named


@pytest.fixture(scope="module")
def fixed(real_rules):
    return read_folder(CATALOG, real_rules.reader)


def test_there_are_engines_and_kits_of_every_kind(fixed):
    engines = fixed.slots["engine"]
    kinds = [engine.gives["induction"]["kind"] for engine in engines]
    assert len(engines) >= 4 and len(fixed.slots["kit"]) >= 3
    assert kinds.count("natural") == 2 and {"turbo", "screw"} <= set(kinds)
    assert all(engine.as_delivered and len(engine.fills) >= 3 for engine in engines)
    assert all(not kit.as_delivered and len(kit.fills) >= 3 for kit in fixed.slots["kit"])


def test_one_that_replaces_another_does_not_disagree_with_it(fixed):
    parts = [fixed.parts[number] for number in ("EN-50-N302", "KT-50-S6", "IN-060-F09")]
    assert disagreements(parts) == []
    # Two parts of one rank do.
    assert disagreements([fixed.parts["KT-50-S6"], fixed.parts["KT-50-S9"]])


def test_a_kit_for_another_engine_does_not_fit(fixed):
    assert misfits([fixed.parts["EN-20-T245"], fixed.parts["KT-50-S6"]])
    assert not misfits([fixed.parts["EN-20-T245"], fixed.parts["KT-20-T3"]])


def test_a_slot_that_is_open_holds_nothing_delivered(fixed):
    build = {"parts": {"engine": "EN-50-N302"}}
    made = expanded(build, parts_named(build, fixed), ["injectors"])
    assert "injector_flow" not in made["fuel_system"] and "pump_flow" in made["fuel_system"]


def test_an_engine_runs_as_it_was_delivered(fixed, reply_to):
    """At the power it is sold with nothing of it fails (what is invented has to be sound)."""
    for engine in fixed.slots["engine"]:
        build = {
            "parts": {"engine": engine.number},
            "fuel": {"aki": 93},
            "target": {"power": engine.gives["baseline"]["rated_power"], "power_at": "crank"},
        }
        reply = reply_to(expanded(build, parts_named(build, fixed)))
        fails = [entry["check"] for entry in reply["checks"] if entry["verdict"] == "fail"]
        assert fails == [], engine.number


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("    injectors:\n", "    injektors:\n", "is for the slot `injektors`, which does not exist"),
        ("fuel_system.injector_flow: 24 lb/h", "cooling.cap_pressure: 1 kg", "is a mass"),
    ],
)
def test_a_mistake_in_what_it_fills_is_named(tmp_path, real_rules, old, new, message):
    for file in CATALOG.iterdir():
        if file.suffix in (".yaml", ".csv") and file.name != "ledger.csv":
            (tmp_path / file.name).write_bytes(file.read_bytes())
    text = (tmp_path / "engine.yaml").read_text()
    assert old in text
    (tmp_path / "engine.yaml").write_text(text.replace(old, new, 1))
    with pytest.raises(CatalogError, match=message):
        read_folder(tmp_path, real_rules.reader)


def test_the_digest_of_a_plain_part_is_what_it_was(fixed):
    """Parts of before keep their digests, so that the ledgers of others stay good."""
    part = fixed.parts["IN-060-F09"]
    assert part.fills == {} and isinstance(fixed, Catalog)
    assert "fills" in part.row()
