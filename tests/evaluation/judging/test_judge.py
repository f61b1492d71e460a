"""From values to verdicts."""

import pytest


def rope(strength, **rest):
    return {"load": {"force": "100 N"}, "rope": {"strength": f"{strength} N"}} | rest


@pytest.mark.parametrize(
    ("strength", "verdict", "limit"),
    [
        (1000, "pass", 5.0),
        # Exactly on a limit it is not crossed.
        (500, "pass", 5.0),
        (499.99, "warn", 5.0),
        (100, "warn", 5.0),
        (99.99, "fail", 1.0),
    ],
)
def test_below(entry, strength, verdict, limit):
    judged = entry("rope-strength", rope(strength), detail="full")
    assert (judged["verdict"], judged["limit"]["value"], judged["limit"]["side"]) == (verdict, limit, "below")


@pytest.mark.parametrize(
    ("usage", "verdict", "limit"), [("goods", "pass", 2.0), ("people", "warn", 10.0), (None, "pass", 5.0)]
)
def test_limits_by_usage(entry, usage, verdict, limit):
    judged = entry("rope-strength", rope(600, **({"usage": usage} if usage else {})), detail="full")
    assert (judged["verdict"], judged["limit"]["value"]) == (verdict, limit)
    assert {"goods": "lifting goods", "people": "lifting people", None: "a use that was not stated"}[
        usage
    ] in judged["explanation"]


@pytest.mark.parametrize(
    ("force", "verdict", "side", "limit", "margin"),
    # On 1 cm2 a pull of 100 N is 1 MPa.
    [
        (200, "pass", "above", 4.0, 0.5),
        (110, "pass", "below", 1.0, 0.1),
        (100, "pass", "below", 1.0, 0.0),
        (400, "pass", "above", 4.0, 0.0),
        (90, "warn", "below", 1.0, -0.1),
        (440, "warn", "above", 4.0, -0.1),
        (40, "fail", "below", 0.5, -0.2),
        (1000, "fail", "above", 8.0, -0.25),
    ],
)
def test_both_sides(entry, force, verdict, side, limit, margin):
    judged = entry(
        "strand-stress", {"load": {"force": f"{force} N"}, "rope": {"area": "1 cm2"}}, detail="full"
    )
    assert (judged["verdict"], judged["limit"]["side"], judged["limit"]["value"]) == (verdict, side, limit)
    assert judged["margin"] == pytest.approx(margin, abs=1e-4)


def winch_at(**speeds):
    return {"winch": {"radius": "1 m"} | {name: f"{speed} rad/s" for name, speed in speeds.items()}}


@pytest.mark.parametrize(
    ("slow", "fast", "verdict", "point"),
    [
        (4, 8, "pass", "fast"),
        (4, 12, "warn", "fast"),
        (12, 4, "warn", "slow"),
        (12, 25, "fail", "fast"),
        (25, 12, "fail", "slow"),
        (30, 25, "fail", "slow"),
    ],
)
def test_the_worst_point_counts(entry, slow, fast, verdict, point):
    judged = entry("rope-speed", winch_at(slow_speed=slow, speed=fast))
    assert (judged["verdict"], judged["judged_at"]) == (verdict, point)
    assert "not_judged_at" not in judged


def test_a_point_that_cannot_be_judged_is_named_and_asked_for(answer):
    reply = answer(winch_at(slow_speed=4), checks=("rope-speed",))
    assert reply["checks"][0]["judged_at"] == "slow" and reply["checks"][0]["not_judged_at"] == ["fast"]
    assert reply["complete"] is False
    assert [question["input"] for question in reply["questions"]] == ["winch.speed"]


@pytest.mark.parametrize(
    ("speeds", "verdict"),
    # Half the drum speed is assumed for slow: 30 m/s of 60.
    [
        ({"speed": 60}, "warn"),
        ({"speed": 60, "slow_speed": 30}, "fail"),
        ({"speed": 30}, "warn"),
        ({"speed": 20}, "pass"),
    ],
)
def test_a_point_whose_speed_is_assumed_warns_and_does_not_fail(entry, speeds, verdict):
    judged = entry("slow-speed", winch_at(**speeds))
    assert judged["verdict"] == verdict
    assert ("it can warn and not fail" in judged["explanation"]) is (speeds == {"speed": 60})


@pytest.mark.parametrize(("overspeed", "verdict"), [(5, "pass"), (15, "pass"), (25, "warn")])
def test_a_second_look_warns_at_most(entry, overspeed, verdict):
    judged = entry("rope-speed", winch_at(slow_speed=4, speed=8, overspeed=overspeed))
    assert judged["verdict"] == verdict
    assert ("It would run at 25 m/s with the brake gone." in judged["explanation"]) is (verdict == "warn")


def test_a_second_look_does_not_soften(entry):
    assert entry("rope-speed", winch_at(slow_speed=4, speed=25, overspeed=25))["verdict"] == "fail"


STRETCH = [{"pull": "50 N", "length": "10 mm"}, {"pull": "150 N", "length": "30 mm"}]


@pytest.mark.parametrize(
    ("clearance", "verdict"), [("100 mm", "pass"), ("40 mm", "pass"), ("30 mm", "warn"), ("15 mm", "fail")]
)
def test_a_curve_is_read_between_its_points(entry, clearance, verdict):
    # 100 N is half way: 20 mm.
    assert (
        entry("stretch", {"load": {"force": "100 N", "clearance": clearance}, "rope": {"stretch": STRETCH}})[
            "verdict"
        ]
        == verdict
    )


@pytest.mark.parametrize("force", ["49 N", "151 N"])
def test_what_is_not_finite_is_not_judged_and_the_step_is_named(answer, force):
    # Outside the curve's points: no extrapolation, and no pass.
    reply = answer(
        {"load": {"force": force, "clearance": "100 mm"}, "rope": {"stretch": STRETCH}},
        checks=("stretch",),
        detail="full",
    )
    assert reply["checks"] == [] and reply["verdict"] == "not_checked" and reply["complete"] is False
    assert reply["open"]["needs"][0]["check"] == "stretch"
    assert reply["open"]["needs"][0]["reason"].startswith("Stretch can't be calculated")


@pytest.mark.parametrize(
    ("load", "verdict"),
    [
        ({"force": "101 N", "place": "near"}, "pass"),
        ({"force": "11 kN", "place": "near"}, "fail"),
        ({"force": "6 kN", "place": "far"}, "fail"),
        # Not above 100 N.
        ({"force": "100 N", "place": "near"}, "not_applicable"),
        ({"force": "101 N"}, "not_checked"),
        ({"place": "near"}, "not_checked"),
    ],
)
def test_where_a_check_applies(answer, load, verdict):
    reply = answer({"load": load}, checks=("anchor",))
    places = {
        "not_applicable": reply["not_applicable"]["checks"],
        "not_checked": reply["open"]["checks"],
        **{judged_entry["verdict"]: [judged_entry] for judged_entry in reply["checks"]},
    }
    assert [name for name, entries in places.items() if entries] == [verdict]


def test_a_limit_of_warn_alone_never_fails(entry):
    assert entry("rope-safety", rope(100, load={"force": "10 kN"}))["verdict"] == "warn"
