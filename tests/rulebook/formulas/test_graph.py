"""Nodes in running order, one per operating point; circles; routes with a range of validity."""

import math
import shutil

import numpy
import pytest

from service.errors import RulebookError
from service.rulebook.formulas.graph import fetcher
from service.rulebook.load import load_rulebook
from tests.support.places import SMALL_RULES

PART_LOAD = """part_load:
  label: at part load
  when: {usage: [track]}
  boost:
    - 0.5 * at_full_load(boost)
"""
MORE = """boost_share:
  label: Boost over that at full load
  dimension: ratio
  at: operating_point
  routes:
    - formula: point.boost / at_full_load(boost)
      when: {usage: [street, track]}
  source: invented
first_in_file_last_to_run:
  label: Sum of what comes after it
  dimension: ratio
  routes:
    - middle + burst_margin
  source: invented
middle:
  label: Clamps in a believable number
  dimension: ratio
  routes:
    - formula: hose.clamps * 2
      valid: {hose.clamps / 2: [1, 3]}
  source: invented
"""


@pytest.fixture
def rulebook(tmp_path):
    rules = shutil.copytree(SMALL_RULES, tmp_path / "rules")
    (rules / "quantities" / "more.yaml").write_text(MORE, encoding="utf-8")
    points = rules / "operating_points.yaml"
    points.write_text(points.read_text(encoding="utf-8") + PART_LOAD, encoding="utf-8")
    return load_rulebook(rules)


def test_every_quantity_of_a_point_is_there_once_for_each_point(rulebook):
    nodes = rulebook.graph.nodes
    assert {name for name in nodes if "__at__" in name} == {
        f"{name}__at__{point}"
        for name in ("boost", "hose_pressure", "boost_share")
        for point in ("full_load", "part_load")
    }
    assert {name for name in nodes if "__at__" not in name} == {
        "burst_margin",
        "first_in_file_last_to_run",
        "burst_share",
        "middle",
    }
    assert all((node.point is None) == ("__at__" not in name) for name, node in nodes.items())


def test_two_names_that_become_one_keep_their_places(rulebook):
    (at_full_load,) = rulebook.graph.nodes["boost_share__at__full_load"].routes
    (at_part_load,) = rulebook.graph.nodes["boost_share__at__part_load"].routes
    assert at_full_load.names == ("boost__at__full_load", "boost__at__full_load")
    assert at_part_load.names == ("boost__at__part_load", "boost__at__full_load")
    assert at_part_load.call(1.0, 4.0) == 0.25


def test_columns_are_compiled_once_when_asked_for(rulebook):
    (at_full_load,) = rulebook.graph.nodes["boost_share__at__full_load"].routes
    (at_part_load,) = rulebook.graph.nodes["boost_share__at__part_load"].routes
    assert "columns" not in vars(at_full_load.calls)
    assert at_full_load.columns(numpy.array([1.0, 3.0]), 4.0).tolist() == [0.25, 0.75]
    assert at_part_load.columns is at_full_load.columns


def test_each_node_comes_after_all_that_any_of_its_routes_reads(rulebook):
    seen = set()
    for name, node in rulebook.graph.nodes.items():
        read = {used for route in node.routes for used in route.names} & set(rulebook.graph.nodes)
        assert read <= seen, name
        seen.add(name)


def test_every_name_has_a_slot_of_its_own(rulebook):
    slots = rulebook.graph.slots
    assert sorted(slots.values()) == list(range(len(slots)))
    assert all(node.slot == slots[name] for name, node in rulebook.graph.nodes.items())
    assert {
        "hose__boost",
        "open_air",
        "hoses__burst_pressure",
        "assumed__air_pressure",
        "lowest__air_pressure",
    } <= set(slots)


def test_the_order_is_the_same_every_time(rulebook):
    again = load_rulebook(SMALL_RULES)
    assert list(again.graph.nodes) == list(load_rulebook(SMALL_RULES).graph.nodes)


def test_a_route_reads_its_own_point_and_the_one_it_names(rulebook):
    names = {
        point: rulebook.graph.nodes[f"boost_share__at__{point}"].routes[0].names
        for point in ("full_load", "part_load")
    }
    assert names == {
        "part_load": ("boost__at__part_load", "boost__at__full_load"),
        # Both are the same name here, yet the call still takes two numbers.
        "full_load": ("boost__at__full_load", "boost__at__full_load"),
    }


@pytest.mark.parametrize(("point", "share"), [("part_load", 0.5), ("full_load", 1.0)])
def test_it_gives_the_right_number_at_both(rulebook, point, share):
    values = [None] * len(rulebook.graph.slots)
    values[rulebook.graph.slots["boost__at__full_load"]] = 80e3
    values[rulebook.graph.slots["boost__at__part_load"]] = 40e3
    route = rulebook.graph.nodes[f"boost_share__at__{point}"].routes[0]
    assert route.call(*route.fetch(values)) == share


def test_the_guard_of_a_point_and_that_of_a_route_both_hold(rulebook):
    assert rulebook.graph.nodes["boost_share__at__full_load"].routes[0].when == {"usage": {"street", "track"}}
    assert rulebook.graph.nodes["boost_share__at__part_load"].routes[0].when == {"usage": {"track"}}
    assert rulebook.graph.nodes["hose_pressure__at__full_load"].routes[0].when == {}


@pytest.mark.parametrize(("clamps", "result"), [(2.0, 4.0), (6.0, 12.0), (1.9, math.nan), (6.1, math.nan)])
def test_outside_its_validity_a_route_gives_no_number(rulebook, clamps, result):
    route = rulebook.graph.nodes["middle"].routes[0]
    assert route.names == ("hose__clamps", "hose__clamps")
    assert route.call(clamps, clamps) == pytest.approx(result, nan_ok=True)
    columns = route.columns(numpy.array([clamps, 4.0]), numpy.array([clamps, 4.0]))
    assert columns.tolist() == pytest.approx([result, 8.0], nan_ok=True)


@pytest.mark.parametrize(("slots", "taken"), [([], ()), ([2], ("c",)), ([2, 0, 2], ("c", "a", "c"))])
def test_a_fetcher_takes_arguments_by_slot(slots, taken):
    assert fetcher(slots)(["a", "b", "c"]) == taken


def test_a_circle_through_three_is_shown_whole(tmp_path):
    rules = shutil.copytree(SMALL_RULES, tmp_path / "rules")
    chain = {"one": "two", "two": "three", "three": "one"}
    (rules / "quantities" / "circle.yaml").write_text(
        "".join(
            f"{name}:\n  label: {name}\n  dimension: ratio\n  routes:\n    - {read}\n  source: invented\n"
            for name, read in chain.items()
        ),
        encoding="utf-8",
    )
    with pytest.raises(RulebookError) as caught:
        load_rulebook(rules)
    problem = caught.value.problems[0]
    assert (problem.file, problem.line) == ("quantities/circle.yaml", 1)
    assert "one <- two <- three <- one" in problem.message
