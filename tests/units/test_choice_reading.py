"""Counts, choices and the nearest known word: what is taken, and what is said where it is not."""

import math

import pytest

from service.units.choice_reading import edit_distance, nearest, read_choice, read_count
from service.units.fault import Fault


@pytest.mark.parametrize("value", [1, 8, 24])
def test_count_is_taken(value):
    assert read_count(value, "Cylinders", (1, 24)) == value


@pytest.mark.parametrize(
    ("value", "code", "suggestion"),
    [
        (8.5, "wrong-type", None),
        (8.0, "wrong-type", "8"),
        ("8", "wrong-type", "8"),
        ("99", "wrong-type", None),
        (True, "wrong-type", None),
        (None, "wrong-type", None),
        ("v8", "wrong-type", None),
        (math.nan, "wrong-type", None),
        (math.inf, "wrong-type", None),
        (0, "out-of-range", None),
        (25, "out-of-range", None),
        (10**400, "out-of-range", None),
    ],
    ids=lambda value: str(value)[:12],
)
def test_count_is_refused(value, code, suggestion):
    fault = read_count(value, "Cylinders", (1, 24))
    assert fault[0] == code
    assert (fault.expected, fault.suggestion) == ("a whole number from 1 to 24", suggestion)


KINDS = ("natural", "roots", "screw", "turbo", "positive_displacement")


@pytest.mark.parametrize(
    ("value", "choices", "taken"),
    [
        ("turbo", KINDS, ("turbo", None)),
        ("Turbo", KINDS, ("turbo", None)),
        ("Positive displacement", KINDS, ("positive_displacement", None)),
        ("positive-displacement", KINDS, ("positive_displacement", None)),
        ("awd", ("front", "rear", "all"), ("all", "read as all")),
        ("AWD", ("front", "rear", "all"), ("all", "read as all")),
        (True, ("yes", "no"), ("yes", None)),
        (False, ("yes", "no", "electronic"), ("no", None)),
    ],
)
def test_choice_is_taken(value, choices, taken):
    assert read_choice(value, "Kind", choices, {"awd": "all"}) == taken


@pytest.mark.parametrize(
    ("value", "code", "suggestion"),
    [
        ("turbp", "unknown-word", "turbo"),
        ("twin scrw", "unknown-word", None),
        ("scre", "unknown-word", "screw"),
        ("", "unknown-word", None),
        (True, "wrong-type", None),
        (None, "wrong-type", None),
        (["turbo"], "wrong-type", None),
        (1, "wrong-type", None),
        ("x" * 65, "too-long", None),
    ],
    ids=lambda value: str(value)[:12],
)
def test_choice_is_refused(value, code, suggestion):
    fault = read_choice(value, "Kind", KINDS)
    assert isinstance(fault, Fault)
    assert (fault.code, fault.suggestion) == (code, suggestion)
    assert fault.expected == "one of natural, roots, screw, turbo, positive_displacement"


@pytest.mark.parametrize(
    ("word", "suggestion"),
    [
        ("turb", "turbo"),
        ("trubo", "turbo"),
        ("positive displcement", "positive_displacement"),
        # Letters alike, another thing: a blower is no turbo, a grade no other grade.
        ("turbine", None),
        ("twincharger", None),
        ("beltcharger", None),
        ("rotary", None),
        ("natrual", "natural"),
        ("unnatural", None),
    ],
)
def test_only_a_slip_of_the_pen_gets_a_suggestion(word, suggestion):
    assert read_choice(word, "Kind", KINDS).suggestion == suggestion


def test_another_figure_is_another_thing():
    grades = ("premium_91_aki", "premium_93_aki", "ethanol", "methanol", "lpg")
    assert read_choice("premium_92_aki", "Fuel", grades).suggestion is None
    assert read_choice("methonol", "Fuel", grades).suggestion == "methanol"


def test_a_word_for_several_things_names_them_all():
    meant = ("premium_91_aki", "premium_93_aki")
    fault = read_choice("Premium", "Fuel", (*meant, "e85"), not_quite={"premium": (meant, "premium is two")})
    assert (fault.suggestion, fault.options) == (None, meant) and "premium is two" in fault.detail


@pytest.mark.parametrize(
    ("word", "other", "distance"),
    [
        ("", "abc", 3),
        ("turbo", "turbo", 0),
        ("turbo", "trubo", 1),
        ("kitten", "sitting", 3),
        ("ca", "abc", 3),
    ],
)
def test_edit_distance(word, other, distance):
    """The optimal string alignment distance; kitten and sitting, ca and abc are its textbook examples."""
    assert edit_distance(word, other) == edit_distance(other, word) == distance


def test_a_word_near_a_synonym_suggests_its_choice():
    assert read_choice("awdd", "Layout", ("front", "rear", "all"), {"awd": "all"}).suggestion == "all"


@pytest.mark.parametrize(
    ("word", "close"),
    [
        ("injector_flo", "injector_flow"),
        ("INJECTOR_FLOW", "injector_flow"),
        ("zzz", None),
        ("injector_flow" * 9, None),
    ],
)
def test_nearest(word, close):
    assert nearest(word, ["pump_flow", "injector_flow"]) == close


def test_a_word_that_is_not_offered_gets_no_nearest():
    choices, refused = ("ethanol", "methanol"), {"nitromethane": ((), "nitromethane is not offered")}
    fault = read_choice("Nitromethane", "Fuel", choices, not_quite=refused)
    assert fault.suggestion is None and "not offered" in fault.detail
