"""Which route is taken: decided from names and choices, never from values."""

import pytest


def taken(resolution, name):
    route = resolution.route(name)
    return route.route.formula.text if route else None


STRENGTH = {"rope": {"strength": "500 N"}}
AREA = {"rope": {"area": "1 cm2", "material": "steel"}}


@pytest.mark.parametrize(
    ("rope", "formula", "leans"),
    [
        ({"strength": "500 N"}, "rope.strength", set()),
        ({"area": "1 cm2"}, "assumed.strand_strength * rope.area", {"strand_strength"}),
        # The route that rests on nothing is taken though it stands second.
        ({"strength": "500 N", "area": "1 cm2"}, "rope.strength", set()),
        # No row of the assumption fits a web.
        ({"area": "1 cm2", "material": "web"}, None, set()),
        ({}, None, set()),
    ],
)
def test_a_route_without_assumptions_beats_one_with(resolution, rope, formula, leans):
    resolved = resolution({"rope": rope})
    assert taken(resolved, "rope_strength") == formula
    assert resolved.known("rope_strength") is (formula is not None)
    if formula:
        assert resolved.lean("rope_strength") == leans


@pytest.mark.parametrize(
    ("load", "formula"),
    [
        ({"force": "100 N", "mass": "20 kg"}, "load.force"),
        ({"mass": "20 kg"}, "load.mass * gravity"),
    ],
)
def test_among_equals_the_first_route_is_taken(resolution, load, formula):
    assert taken(resolution({"load": load}), "pull") == formula


@pytest.mark.parametrize(
    ("load", "formula"),
    [
        ({"force": "100 N", "place": "near"}, "pull"),
        ({"force": "100 N", "place": "far"}, "2 * pull"),
        ({"force": "100 N"}, None),
        # `without` closes the route even where another gives the pull.
        ({"force": "100 N", "mass": "10 kg", "place": "far"}, None),
        ({"force": "100 N", "mass": "10 kg", "place": "near"}, "pull"),
    ],
)
def test_guards_and_names_that_close_a_route(resolution, load, formula):
    assert taken(resolution({"load": load}), "anchor_pull") == formula


def test_leaning_is_handed_on(resolution):
    resolved = resolution({"load": {"force": "100 N"}, "rope": {"area": "1 cm2"}})
    assert resolved.lean("strength_margin") == {"strand_strength"}
    assert resolved.lean("safe_strength_margin") == {"strand_strength", "table:ropes"}
    assert resolved.lean("pull") == set()


def test_an_empty_cell_is_unknown(resolution):
    resolved = resolution({"rope": {"strength": "500 N", "material": "web"}, "load": {"force": "100 N"}})
    assert resolved.known("strength_margin") and not resolved.known("safe_strength_margin")


def test_operating_points_are_known_one_by_one(resolution):
    resolved = resolution({"winch": {"slow_speed": "2 rad/s", "radius": "1 m"}})
    assert resolved.known("rope_speed__at__slow") and not resolved.known("rope_speed__at__fast")
    assert resolved.lean("rope_speed__at__slow") == set()
    resolved = resolution({"winch": {"speed": "2 rad/s", "radius": "1 m"}})
    assert (
        resolved.lean("rope_speed__at__slow") == {"slow_share"}
        and resolved.lean("rope_speed__at__fast") == set()
    )


def test_agreeing_routes_lean_on_nothing(winch, resolution):
    node = winch.rulebook.graph.nodes["pull"]
    assert [
        route.route.formula.text
        for route in resolution({"load": {"force": "1 N", "mass": "1 kg"}}).agreeing(node)
    ] == ["load.force", "load.mass * gravity"]
    node = winch.rulebook.graph.nodes["rope_strength"]
    assert [
        route.route.formula.text
        for route in resolution({"rope": {"strength": "1 N", "area": "1 cm2"}}).agreeing(node)
    ] == ["rope.strength"]
