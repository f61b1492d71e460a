"""What is typed into a form, on its way to the API."""

from service.web.pages.address import build_of, code_of
from service.web.pages.build import flat, for_request, text_of, with_typed
from service.web.pages.point_lines import lines_of, points_of
from service.web.pages.pull_lines import pulls_of
from tests.support.rules import real_rulebook


def test_groups_become_names_and_parts_a_group_again():
    build = {"usage": "street", "engine": {"bore": "4 in"}, "parts": {"kit": "KT-1"}}
    names = flat(real_rulebook(), build)
    assert names == {"usage": "street", "engine.bore": "4 in", "parts.kit": "KT-1"}
    assert for_request(names) == {"usage": "street", "engine.bore": "4 in", "parts": {"kit": "KT-1"}}


def test_an_empty_field_goes_and_an_unknown_one_is_not_taken():
    typed = {"engine.bore": " 4 in ", "usage": " ", "engine.cylinders": "8", "b": "x", "engine.nonsense": "1"}
    build = with_typed(real_rulebook(), {"usage": "street", "fuel.grade": "e85"}, typed)
    assert build == {"fuel.grade": "e85", "engine.bore": "4 in", "engine.cylinders": 8}


def test_a_count_that_is_none_is_left_for_the_api_to_refuse():
    typed = {"engine.cylinders": "eight"}
    assert with_typed(real_rulebook(), {}, typed) == typed


def test_a_curve_is_typed_a_point_a_line():
    field = real_rulebook().inputs["fuel_system.pump_curve"]
    points = points_of(field, "43.5 psi, 255 L/h\n\n58 psi; 215 L/h")
    assert points == [
        {"pressure": "43.5 psi", "flow": "255 L/h"},
        {"pressure": "58 psi", "flow": "215 L/h"},
    ]
    assert text_of(field, points) == lines_of(field, points) == "43.5 psi, 255 L/h\n58 psi, 215 L/h"


def test_a_map_names_its_lists():
    field = real_rulebook().inputs["induction.compressor_map"]
    text = "points 10 lb/min, 1.2, 0.65\nsurge 8 lb/min, 1.2\nsurge 24 lb/min, 2.8"
    points = points_of(field, text)
    assert points["surge"][1] == {"flow": "24 lb/min", "pressure_ratio": "2.8"}
    assert lines_of(field, points) == text


def test_a_map_comes_out_of_an_address_as_it_was_typed():
    """An address sorts the words of a point; the axes keep the order of the rulebook."""
    field = real_rulebook().inputs["induction.compressor_map"]
    text = "points 10 lb/min, 1.2, 0.65\nsurge 8 lb/min, 1.2"
    build = build_of(code_of(with_typed(real_rulebook(), {}, {field.path: text})))
    assert text_of(field, build[field.path]) == text


def test_pulls_a_figure_a_line():
    assert pulls_of("401 whp\n\n 403.2 whp ") == ["401 whp", "403.2 whp"]
    assert pulls_of("whp\n401\n403.2") == ["401 whp", "403.2 whp"]
    assert pulls_of("1,250 hp") == ["1,250 hp"]
    assert pulls_of("nonsense") == ["nonsense"]
    assert pulls_of("") == []


def test_curves_are_parted_by_empty_lines():
    pasted = "rpm, whp\n3000, 201\n4000, 252.5\n\n3000, 203\n4000, 251"
    assert pulls_of(pasted) == [
        [{"speed": "3000 rpm", "value": "201 whp"}, {"speed": "4000 rpm", "value": "252.5 whp"}],
        [{"speed": "3000 rpm", "value": "203 whp"}, {"speed": "4000 rpm", "value": "251 whp"}],
    ]
    assert pulls_of("3000 rpm\t200 hp\n3500 rpm\t220 hp") == [
        [{"speed": "3000 rpm", "value": "200 hp"}, {"speed": "3500 rpm", "value": "220 hp"}]
    ]
