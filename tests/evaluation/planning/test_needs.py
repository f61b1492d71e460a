"""What an unknown name lacks: groups of inputs, one of each."""

import pytest

from service.evaluation.planning.needs import either, smallest
from service.evaluation.request import Request


def groups(*words):
    return {frozenset(word.split()) for word in words}


@pytest.mark.parametrize(
    ("build", "name", "lacks"),
    [
        ({"load": {"force": "1 N"}}, "pull", groups()),
        ({}, "pull", groups("load.force load.mass")),
        ({}, "rope_strength", groups("rope.strength rope.area")),
        ({}, "strength_margin", groups("rope.strength rope.area", "load.force load.mass")),
        ({"load": {"mass": "1 kg"}}, "strength_margin", groups("rope.strength rope.area")),
        # A web has no assumed strength: its own is the one way.
        ({"rope": {"material": "web"}}, "rope_strength", groups("rope.strength")),
        # The guard's own choice is asked for.
        ({"load": {"force": "1 N"}}, "anchor_pull", groups("load.place")),
        ({"load": {"place": "near"}}, "anchor_pull", groups("load.force load.mass")),
        # A route that is closed by what was said helps nobody.
        ({"load": {"place": "far", "mass": "1 kg"}}, "anchor_pull", None),
        ({"load": {"force": "1 N"}}, "stretch", groups("rope.stretch")),
        ({"winch": {"speed": "1 rad/s"}}, "rope_speed__at__slow", groups("winch.radius")),
        ({"winch": {"radius": "1 m"}}, "rope_speed__at__slow", groups("winch.slow_speed winch.speed")),
        # An empty cell whose key was said: no input would fill it.
        (
            {"rope": {"strength": "1 N", "material": "web"}, "load": {"force": "1 N"}},
            "safe_strength_margin",
            None,
        ),
    ],
)
def test_needs(needs, build, name, lacks):
    assert needs(build, name) == lacks


def test_filling_the_needs_makes_the_check_judged(answer):
    build = {}
    one_of = {
        "load.force": "200 N",
        "rope.strength": "500 N",
        "winch.radius": "1 m",
        "winch.slow_speed": "2 rad/s",
        "winch.speed": "4 rad/s",
        "load.place": "near",
        "rope.area": "1 cm2",
    }
    for check in ("rope-strength", "rope-speed", "anchor", "strand-stress"):
        reply = answer(build, checks=(check,))
        for entry in reply["open"]["needs"]:
            for group in entry["needs"]:
                path = next(path for path in group if path in one_of)
                build.setdefault(path.partition(".")[0], {})[path.partition(".")[2]] = one_of[path]
        reply = answer(build, checks=(check,))
        assert [judged["check"] for judged in reply["checks"]] == [check] and reply["complete"], (
            check,
            reply["open"]["needs"],
        )


def test_clutch_of_the_real_rules(both):
    for evaluator in both:
        reply = evaluator.evaluate(
            Request(
                {"target": {"torque": "400 lb-ft", "torque_at": "crank"}},
                checks=("clutch-torque",),
                include=("needs",),
            )
        )
        needs_of_clutch = [set(group) for group in reply["open"]["needs"][0]["needs"]]
        assert all("clutch.torque_rating" in group for group in needs_of_clutch)
        assert any("clutch.clamp_load" in group for group in needs_of_clutch)


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ([("a",), ("a", "b"), ("b", "c")], [("a",), ("b", "c")]),
        ([("a", "b"), ("b", "a")], [("a", "b")]),
        ([], []),
    ],
)
def test_smallest(given, kept):
    assert smallest(given) == kept


def test_either_is_any_one_of_the_options():
    assert {frozenset(group) for group in either([[("a",), ("b",)], [("c",)]])} == groups("a c", "b c")
    assert either([None, [("a",)]]) == [("a",)]
    assert either([None, None]) is None
    assert either([[], [("a",)]]) == []


def test_a_yes_or_no_check_minds_its_numeric_guard(outcome):
    # 22 bar at 1,700 rpm, and 17.6: only the first is above the 18 bar the check is for.
    def build(torque):
        return {
            "engine": {"displacement": "2.0 L", "peak_torque_speed": "2600 rpm"},
            "induction": {"kind": "turbo", "boost": "1 bar", "full_boost_speed": "1700 rpm"},
            "fuel_system": {"delivery": "direct"},
            "target": {"torque": f"{torque} N.m", "torque_at": "crank"},
            "oil": {"grade": "older"},
        }

    assert [outcome("low-speed-pre-ignition", build(torque)) for torque in (350, 280)] == [
        "warn",
        "not_applicable",
    ]
