"""What a selection says: what each part does, what sets cost and how they differ, what to ask first."""

import pytest

from service.advice.selection import select
from service.advice.selection_request import SelectionRequest
from service.catalog.folder import read_folder
from service.evaluation.reporting.brevity import words_in
from tests.support.places import CATALOG


@pytest.fixture(scope="module")
def answer(real_rules):
    catalog = read_folder(CATALOG, real_rules.reader)
    return lambda build, slots, **rest: select(
        real_rules, catalog, SelectionRequest(build, slots, **{"units": "us"} | rest)
    )


HOLDS = {"target": {"torque": "500 lb-ft", "torque_at": "crank"}}


def test_one_part_says_what_it_is_and_does(answer):
    """775 lb-ft over 500 is 1.55 times, by hand; the price and stock are those of the fixed catalog."""
    told = answer(HOLDS, ("clutch",), allow="pass")["headline"]
    assert told == (
        "Cheapest that will do: CL-2OR-95, 845.00 EUR, 12 in stock. "
        "The clutch holds 775 lb-ft, 1.55 times the engine's 500 lb-ft."
    )


def test_every_part_has_its_sentence(answer):
    reply = answer(HOLDS, ("clutch", "gearbox"))
    for slot in reply["slots"]:
        for part in slot["parts"]:
            short = {"clutch": "clutch", "gearbox": "transmission"}[slot["slot"]]
            assert short in part["text"].lower() and part["text"].endswith(".")
    # What it fails for is said, not another check's matter.
    clutches = next(slot["parts"] for slot in reply["slots"] if slot["slot"] == "clutch")
    assert all(
        part["text"].startswith("The clutch will slip") for part in clutches if part["verdict"] == "fail"
    )


def test_the_units_are_those_asked_for(answer):
    assert "N·m" in answer(HOLDS, ("clutch",), units="metric")["slots"][0]["parts"][0]["text"]
    assert "lb-ft" in answer(HOLDS, ("clutch",))["slots"][0]["parts"][0]["text"]


def test_sets_after_the_first_say_how_they_differ(answer):
    first, *others = answer(HOLDS, ("clutch", "gearbox"))["sets"]
    assert first["text"].startswith(f"{first['price_text']} in all.")
    assert others
    for other in others:
        for slot, number in other["parts"].items():
            if number != first["parts"][slot]:
                assert f"{number} instead of {first['parts'][slot]}" in other["text"]
        difference = other["price"] - first["price"]
        assert difference == 0 or f"{abs(difference):.2f} EUR more" in other["text"]


@pytest.mark.parametrize(
    ("target", "asked"),
    [
        ({"torque": "500 lb-ft"}, "target.torque_at"),
        ({"power": "500 hp"}, "target.power_at"),
    ],
)
def test_crank_or_wheels_is_asked_first(answer, target, asked):
    first = answer({"target": target}, ("clutch",))["questions"][0]
    assert first["input"] == asked and first["answers"] == ["crank", "wheels"]
    place = target | {asked.partition(".")[2]: "crank"}
    assert asked not in [one["input"] for one in answer({"target": place}, ("clutch",))["questions"]]


def test_where_no_set_will_do_the_headline_says_why(answer):
    huge = {"target": {"torque": "1500 lb-ft", "torque_at": "crank"}}
    reply = answer(huge, ("clutch",), allow="pass")
    assert reply["sets"] == [] and reply["headline"] == reply["conflict"]["text"]
    assert reply["headline"].startswith("No set will do; the nearest still falls short on the clutch")


def test_what_was_not_looked_at_is_open(answer):
    reply = answer(HOLDS, ("clutch",))
    assert reply["open"]["count"] >= len(reply["open"]["checks"]) > 0 and reply["allowed"] == "warn"


def test_headlines_are_one_breath(answer):
    for objective in ("cheapest", "widest_margin", "fewest_changes"):
        reply = answer(HOLDS, ("clutch", "gearbox", "half_shafts"), objective=objective)
        assert 0 < words_in(reply["headline"]) <= 25
