"""Choices that a review caught: each was answered wrongly once."""

import pytest

from service.advice.selection import select
from service.advice.selection_request import SelectionRequest
from service.catalog.catalog import Catalog, disagreements, stated_fields
from service.catalog.expand import expanded, fit_findings
from service.catalog.part import Part
from service.errors import SpecError
from service.evaluation.request import Request
from tests.support.rules import parts_named


def part(number, slot, price, **gives):
    return Part(number, slot, "m", number, price, 1, gives, {}, {})


def catalog(*parts):
    return Catalog("t", "EUR", {part.number: part for part in parts})


def block(n, cr, stroke, price):
    return part(
        n,
        "short_block",
        price,
        engine={"cylinders": 8, "bore": "101 mm", "stroke": stroke, "compression_ratio": cr},
    )


@pytest.mark.parametrize("checks", [("knock-margin", "spec-consistency"), ()])
def test_widest_margin_with_an_inconsistent_winner_still_finds_the_others(real_rules, checks):
    parts = catalog(block("LOW", "7.8", "100 mm", 100), block("MID", "8.4", "78 mm", 200))
    build = {
        "engine": {"displacement": "5.0 L", "peak_power_speed": "6000 rpm"},
        "induction": {"kind": "screw", "boost": "6 psi"},
        "fuel": {"ron": 98},
        "target": {"power": "450 hp"},
    }
    ask = lambda objective: select(
        real_rules,
        parts,
        SelectionRequest(build, ("short_block",), objective, checks=checks),
    )
    assert ask("cheapest")["sets"], "fixture: a good set exists"
    assert ask("widest_margin")["sets"]


@pytest.mark.parametrize("slots", [("short_block", "cylinder_heads"), ("cylinder_heads", "short_block")])
def test_two_open_slots_that_give_one_field_are_judged_as_evaluation_would(real_rules, slots):
    parts = catalog(
        part(
            "SB",
            "short_block",
            100,
            engine={"compression_ratio": "12.0", "cylinders": 8, "displacement": "5.0 L"},
        ),
        part("CH", "cylinder_heads", 100, engine={"compression_ratio": "8.0"}),
    )
    build = {
        "induction": {"kind": "screw", "boost": "10 psi"},
        "fuel": {"ron": 98},
        "target": {"power": "450 hp"},
    }
    answer = select(
        real_rules,
        parts,
        SelectionRequest(build, slots, checks=("knock-margin",)),
    )
    named = build | {"parts": {"short_block": "SB", "cylinder_heads": "CH"}}
    reply = real_rules.evaluate(Request(expanded(named, parts_named(named, parts)), checks=("knock-margin",)))
    assert bool(answer["sets"]) == (reply["verdict"] != "fail")


CLUTCH = {
    "engine": {"cylinders": 8, "displacement": "5.0 L"},
    "driveline": {"layout": "rear", "gearbox": "manual"},
    "target": {"torque": "560 N.m", "torque_at": "crank"},
}


def test_candidates_that_differ_by_place_only_are_not_one_class(real_rules):
    parts = catalog(
        part("CRANK", "clutch", 90, clutch={"torque_rating": "500 lb-ft"}),
        part("WHEELS", "clutch", 100, clutch={"torque_rating": "500 wtq"}),
    )
    named = CLUTCH | {"parts": {"clutch": "WHEELS"}}
    assert (
        real_rules.evaluate(Request(expanded(named, parts_named(named, parts)), checks=("clutch-torque",)))[
            "verdict"
        ]
        == "pass"
    ), "fixture"
    answer = select(
        real_rules,
        parts,
        SelectionRequest(CLUTCH, ("clutch",), allow="pass", checks=("clutch-torque",)),
    )
    assert [offer["parts"]["clutch"] for offer in answer["sets"]] == ["WHEELS"]


def test_a_place_given_explicitly_is_not_overridden(real_rules):
    parts = catalog(part("WHEELS", "clutch", 100, clutch={"torque_rating": "500 wtq"}))
    build = CLUTCH | {"clutch": {"torque_rating_at": "crank"}}
    with pytest.raises(SpecError):
        real_rules.evaluate(Request(expanded(build, list(parts.parts.values())), checks=("clutch-torque",)))
    with pytest.raises(SpecError) as caught:
        select(
            real_rules,
            parts,
            SelectionRequest(build, ("clutch",), checks=("clutch-torque",)),
        )
    assert [fault.code for fault in caught.value.faults] == ["no-candidate"]


def test_parts_that_contradict_each_other_do_not_go_together_unless_the_build_decides():
    block, heads = (
        part("SB", "short_block", 100, engine={"compression_ratio": "12.0"}),
        part("CH", "cylinder_heads", 100, engine={"compression_ratio": "8.0"}),
    )
    assert [path for _, _, path in disagreements([block, heads])] == ["engine.compression_ratio"]
    assert "give it in the build" in fit_findings([block, heads], {})[0]["text"]
    build = {"engine": {"compression_ratio": 9.0}}
    assert (
        disagreements([block, heads], stated_fields(build)) == []
        and fit_findings([block, heads], build) == []
    )
    assert (
        disagreements([block, part("SAME", "cylinder_heads", 1, engine={"compression_ratio": "12.0"})]) == []
    )
