"""POST /v1/evaluations: the shape of the reply, and what it promises."""

import json
import math
from importlib.metadata import version

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

# Judged by ratios a reader can work in the head: 480 hp at 0.60 lb/hp/h is 288 lb/h.
INJECTORS = {
    "target": {"power": "480 hp", "power_at": "crank"},
    "fuel": {"brake_specific_consumption": "0.60 lb/hp/h"},
    "fuel_system": {
        "injector_count": 8,
        "injector_flow": "45 lb/h",
        "injector_rated_fluid": "petrol",
        "rail_pressure": "43.5 psi",
        "injector_rated_pressure": "43.5 psi",
        "boost_referenced": "yes",
    },
}
SENSOR = {
    "induction": {"boost": "14 psi"},
    "sensors": {"manifold_pressure_range": "2.5 bar abs"},
    "conditions": {"ambient_pressure": "101.325 kPa"},
}
SAYS_WHO = {"rulebook", "service", "evaluation"}


def flow(pounds_per_hour):
    return INJECTORS | {
        "fuel_system": INJECTORS["fuel_system"] | {"injector_flow": f"{pounds_per_hour} lb/h"}
    }


def numbers(node):
    """Every number of a reply, with its key."""
    for key, value in node.items() if isinstance(node, dict) else enumerate(node):
        if isinstance(value, (dict, list)):
            yield from numbers(value)
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            yield key, value


# ---------------------------------------------------------------- how much is said


def test_what_is_read_out(evaluate, demo):
    reply = evaluate(demo, detail="spoken")
    assert set(reply) <= {"verdict", "complete", "headline", "say", "question", "evaluation"}
    assert reply["verdict"] == "fail" and len(reply["headline"].split()) <= 25
    assert set(reply["question"]) == {"input", "ask"}


@pytest.mark.parametrize(
    "name",
    [
        "demo",
        "counter-partial",
        "log-in-metric",
        "direct-injection",
        "disagreement",
        "two-readings",
        "spoken",
    ],
)
def test_what_is_read_out_is_under_600_bytes(client, example, name):
    response = client.post("/v1/evaluations", json=example(name)["request"] | {"detail": "spoken"})
    assert len(response.data) <= 600, response.text


def test_summary_is_the_default(evaluate, demo):
    reply = evaluate(demo)
    known = {"verdict", "complete", "headline", "checks", "open", "not_applicable", "figures", "assumptions"}
    assert set(reply) - {"understood", "not_used", "more_assumptions"} == known | {"questions"} | SAYS_WHO
    asked, left_out = evaluate(demo, detail="summary"), evaluate(demo, include=[])
    assert asked["checks"] == reply["checks"]
    assert set(reply) - set(left_out) <= {"questions", "more_assumptions"}


def test_pass_is_short_at_summary_and_long_at_full(judged):
    short = judged("injector-duty", INJECTORS, detail="summary")
    assert short["verdict"] == "pass" and set(short) <= {"check", "verdict", "text", "could_be"}
    long = judged("injector-duty", INJECTORS, detail="full")
    assert {"limit", "cautions", "working", "value", "margin", "range"} <= set(long)
    assert long["explanation"].startswith(short["text"])


def test_three_questions_at_summary_and_all_at_full(evaluate, demo):
    brief, whole = evaluate(demo)["questions"], evaluate(demo, detail="full")["questions"]
    assert len(brief) == 3 < len(whole)
    assert [question["input"] for question in brief] == [question["input"] for question in whole[:3]]


def test_needs_come_where_they_are_asked_for(evaluate, demo):
    assert "needs" not in evaluate(demo)["open"]
    opened = evaluate(demo, include=["needs"])["open"]
    assert [entry["check"] for entry in opened["needs"]] == opened["checks"]


@pytest.mark.parametrize(("pounds_per_hour", "verdict"), [(40, "warn"), (36, "fail")])
def test_trouble_comes_with_limit_and_cautions(judged, pounds_per_hour, verdict):
    # 288 lb/h over eight is 36 lb/h: 90 % of 40, all of 36.
    entry = judged("injector-duty", flow(pounds_per_hour))
    assert entry["verdict"] == verdict
    assert entry["cautions"] and all(text.endswith(".") for text in entry["cautions"])
    assert entry["limit"]["text"] == {"warn": "85 %", "fail": "92 %"}[verdict]
    assert entry["limit"]["side"] == "above" and entry["limit"]["source"]["kind"] == "common practice"
    assert judged("injector-duty", flow(pounds_per_hour), detail="full")["limit"]["source"]["citation"]
    assert entry["value"]["text"] in entry["explanation"]
    assert entry["margin"] < 0


def test_fail_is_http_200(client):
    assert client.post("/v1/evaluations", json={"build": flow(20)}).status_code == 200


# ---------------------------------------------------------------- numbers


def test_numbers_have_ten_significant_digits(evaluate, demo):
    found = [(key, value) for key, value in numbers(evaluate(demo, detail="full")) if key == "value"]
    assert len(found) > 20
    assert [one for one in found if one[1] != float(f"{one[1]:.10g}")] == []


@pytest.mark.parametrize(
    ("pounds_per_hour", "verdict", "text"),
    # 36 / 0.85 = 42.352941...; both round to 85 %, the ceiling; the one beyond it is written to show it.
    [("42.3529", "warn", "85.0001 %"), ("42.3530", "pass", "85 %")],
)
def test_comparison_comes_before_rounding(judged, pounds_per_hour, verdict, text):
    entry = judged("injector-duty", flow(pounds_per_hour))
    assert (entry["verdict"], entry["value"]["text"]) == (verdict, text)


def test_units_of_the_answer(evaluate):
    answers = {
        system: evaluate(SENSOR, checks=["manifold-pressure-range"], detail="full", units=system)["checks"][0]
        for system in ("metric", "us")
    }
    steps = {system: {step["name"]: step for step in entry["working"]} for system, entry in answers.items()}
    metric, us = (steps[system]["highest_manifold_pressure"] for system in ("metric", "us"))
    # 14 psi over 101.325 kPa. NIST SP 811: 1 psi = 6.894757 kPa.
    assert (metric["unit"], us["unit"]) == ("kPa", "psi")
    assert metric["value"] == pytest.approx(101.325 + 14 * 6.894757, rel=1e-7)
    assert us["value"] == pytest.approx(101.325 / 6.894757 + 14, rel=1e-7)
    assert "psi" in answers["us"]["explanation"] and "psi" not in answers["metric"]["explanation"]
    assert [answers["us"][key] for key in ("verdict", "margin", "value")] == [
        answers["metric"][key] for key in ("verdict", "margin", "value")
    ]
    assert evaluate(SENSOR)["checks"] == evaluate(SENSOR, units="metric")["checks"]


def test_units_of_the_request_do_not_matter(judged):
    unit = pint.UnitRegistry()
    metric = {
        "480 hp": f"{(480 * unit.horsepower).m_as('kilowatt')!r} kW",
        "45 lb/h": f"{(45 * unit.pound / unit.hour).m_as('kilogram / hour')!r} kg/h",
        "43.5 psi": f"{(43.5 * unit.psi).m_as('kilopascal')!r} kPa",
    }
    text = json.dumps(INJECTORS)
    for stated, other in metric.items():
        assert stated in text
        text = text.replace(stated, other)
    assert judged("injector-duty", json.loads(text))["value"] == judged("injector-duty", INJECTORS)["value"]
    flow_object = INJECTORS | {
        "fuel_system": INJECTORS["fuel_system"] | {"injector_flow": {"value": 45, "unit": "lb/h"}}
    }
    assert judged("injector-duty", flow_object)["value"] == judged("injector-duty", INJECTORS)["value"]


@pytest.mark.parametrize(
    ("written", "off"),
    [
        ("45 lb/h ±5 %", "5 %"),
        ("45 lb/h ± 2.25", "2.25 lb/h"),
        ({"value": 45, "unit": "lb/h", "tolerance": 2.25}, "2.25 lb/h"),
    ],
    ids=["share", "text", "object"],
)
def test_a_tolerance_widens_the_answer(evaluate, written, off):
    """36 lb/h from each injector is 80 % of 45, and 76.2 to 84.2 % of 47.25 and 42.75; the unstated petrol's
    density adds as the root of squares, as far as one draw in fifty goes from the value or from the middle
    between all ends, and never past both together.
    """
    plain = evaluate(INJECTORS, checks=["injector-duty"], detail="full")["checks"][0]["range"]
    reply = evaluate(
        INJECTORS | {"fuel_system": INJECTORS["fuel_system"] | {"injector_flow": written}},
        checks=["injector-duty"],
        detail="full",
    )
    entry = reply["checks"][0]
    assert entry["value"]["value"] == pytest.approx(80, abs=1e-6)
    one_in_fifty = 2.054 / math.sqrt(3)

    def reach(near, far):
        """How far this side goes, where both sides of each cause are known."""
        half_widths = math.hypot(*((this + other) / 2 for this, other in zip(near, far, strict=True)))
        middle = (sum(near) - sum(far)) / 2
        return min(sum(near), max(one_in_fifty * math.hypot(*near), one_in_fifty * half_widths + middle))

    less = 80 - 3600 / 47.25, 80 - plain["low"]
    more = 3600 / 42.75 - 80, plain["high"] - 80
    assert entry["range"]["low"] == pytest.approx(80 - reach(less, more))
    assert entry["range"]["high"] == pytest.approx(80 + reach(more, less))
    assert [said["text"] for said in reply["understood"]] == [f"45 lb/h, give or take {off}"]


# ---------------------------------------------------------------- which checks


def test_checks_filter(evaluate, demo):
    reply = evaluate(demo, checks=["manifold-pressure-range", "clutch-facing-pressure"])
    assert [entry["check"] for entry in reply["checks"]] == ["manifold-pressure-range"]
    assert reply["open"]["checks"] == ["clutch-facing-pressure"]
    assert reply["not_applicable"] == {"count": 0}
    assert reply["verdict"] == "pass" and reply["complete"] is False
    assert {question["input"].partition(".")[0] for question in reply["questions"]} == {"clutch"}


def test_a_check_alone_says_what_it_says_among_others(evaluate, demo):
    def without_cautions(reply):
        # A caution is said once a reply, by the first check that calls for it.
        return [
            {key: value for key, value in entry.items() if key != "cautions"} for entry in reply["checks"]
        ]

    whole = without_cautions(evaluate(demo, detail="full"))
    assert len(whole) > 3
    for entry in whole:
        assert without_cautions(evaluate(demo, detail="full", checks=[entry["check"]])) == [entry]


def test_worst_first_and_each_caution_once(evaluate, demo):
    checks = evaluate(demo)["checks"]
    order = [("fail", "warn", "pass").index(entry["verdict"]) for entry in checks]
    assert order == sorted(order) and len(set(order)) == 3
    cautions = [caution for entry in checks for caution in entry.get("cautions", ())]
    assert cautions and len(cautions) == len(set(cautions))


def test_a_required_check_that_is_not_judged_leaves_the_whole_open(evaluate):
    asked = {"checks": ["manifold-pressure-range", "clutch-torque"]}
    assert evaluate(SENSOR, **asked)["verdict"] == "pass"
    reply = evaluate(SENSOR, require=["clutch-torque"], **asked)
    assert reply["verdict"] == "not_checked"
    assert reply["headline"].startswith("I can't judge the clutch yet")
    assert evaluate(SENSOR, require=["manifold-pressure-range"], **asked)["verdict"] == "pass"


def test_a_required_check_left_out_by_the_filter_is_not_judged(evaluate):
    assert (
        evaluate(SENSOR, checks=["manifold-pressure-range"], require=["injector-duty"])["verdict"]
        == "not_checked"
    )


def test_nothing_known(evaluate):
    reply = evaluate({})
    assert reply["verdict"] == "not_checked" and reply["complete"] is False
    assert reply["questions"] and reply["open"]["checks"]


def test_a_spec_that_only_does_not_contradict_itself_has_not_been_judged(evaluate):
    assert evaluate({"engine": {"cylinders": 8}})["verdict"] == "not_checked"
    assert evaluate({"engine": {"cylinders": 8}}, checks=["spec-consistency"])["verdict"] == "pass"


def test_the_whole_is_the_worst(evaluate):
    checks = ["injector-duty", "manifold-pressure-range"]
    assert [evaluate(SENSOR | flow(size), checks=checks)["verdict"] for size in (45, 40, 36)] == [
        "pass",
        "warn",
        "fail",
    ]


def test_not_applicable_has_a_reason(evaluate):
    reply = evaluate(
        {"fuel_system": {"delivery": "carburettor"}}, checks=["injector-duty"], include=["needs"]
    )
    assert reply["open"]["checks"] == [] and reply["complete"] is True
    assert [entry["check"] for entry in reply["not_applicable"]["reasons"]] == ["injector-duty"]
    assert "carburettor" in reply["not_applicable"]["reasons"][0]["reason"]


def test_a_step_outside_its_range_is_named(evaluate):
    # 262 of 265 mm is hardly a ring: the mean radius is said to hold for 0.3 to 0.98.
    clutch = {
        "clamp_load": "9500 N",
        "outer_diameter": "265 mm",
        "inner_diameter": "262 mm",
        "discs": 1,
        "facing": "organic",
    }
    reply = evaluate(
        {"clutch": clutch, "target": {"torque": "300 lb-ft", "torque_at": "crank"}},
        checks=["clutch-torque"],
        include=["needs"],
    )
    assert reply["checks"] == [] and reply["verdict"] == "not_checked"
    assert reply["open"]["needs"][0]["reason"].startswith("Mean friction radius can't be calculated")


# ---------------------------------------------------------------- what was read, taken, asked


def test_understood_repeats_what_was_not_in_standard_form(evaluate, example):
    said = {
        entry["input"]: entry["text"]
        for entry in evaluate(example("counter-partial")["request"]["build"])["understood"]
    }
    assert said == {
        "engine.compression_ratio": "8.5",
        "induction.boost": "14 psi, the high end of 7 to 14 psi",
        "fuel.ethanol": "E60 = 0.6",
        "fuel_system.injector_flow": "42 lb/h",
        "driveline.layout": "read as rear",
        "target.power": "600 hp at the wheels",
        "target.torque": "510 lb-ft",
    }
    assert "understood" not in evaluate(INJECTORS)


def test_assumptions_are_named_with_range_and_source(evaluate):
    build = flow(45) | {"fuel": {}}
    reply = evaluate(build, checks=["injector-duty"], detail="full")
    taken = {entry["input"]: entry for entry in reply["assumptions"]}
    assert (
        "fuel.brake_specific_consumption" in taken
        and "fuel.brake_specific_consumption" in reply["checks"][0]["rests_on"]
    )
    for entry in reply["assumptions"]:
        assert entry["label"] and entry["source"]["kind"] and entry["source"]["citation"]
        if "range" in entry:
            ends = [entry["range"][end]["value"] for end in ("low", "high")]
            assert ends[0] <= entry["value"]["value"] <= ends[1]
    assert "range" in taken["fuel.brake_specific_consumption"]
    # At summary those that could turn the verdict, the others counted.
    short = evaluate(build, checks=["injector-duty"])
    assert {entry["label"] for entry in short["assumptions"]} < {
        entry["label"] for entry in reply["assumptions"]
    }
    assert len(short["assumptions"]) + short["more_assumptions"] == len(reply["assumptions"])
    # With everything given nothing is taken.
    assert evaluate(SENSOR, checks=["manifold-pressure-range"])["assumptions"] == []


def test_an_octane_number_without_a_scale_is_asked_first(evaluate, example):
    first = evaluate(example("two-readings")["request"]["build"])["questions"][0]
    assert first["input"] == "fuel.octane"
    assert set(first["could_mean"]) == {"fuel.ron", "fuel.mon", "fuel.aki"}


def test_disagreement_is_a_finding(evaluate, example):
    request = example("disagreement")["request"]
    entry = evaluate(**request)["checks"][0]
    # 86 mm square in four is 1.998 L by hand, 13.1 % under 2.3 L.
    assert entry["verdict"] == "warn"
    assert [(one["kind"], one["inputs"]) for one in entry["findings"]] == [
        ("disagreement", ["engine.bore", "engine.cylinders", "engine.displacement", "engine.stroke"])
    ]
    assert "13.1 %" in entry["explanation"]


# ---------------------------------------------------------------- identity


def test_identity(client, evaluate):
    reply = evaluate(SENSOR)
    assert reply["rulebook"] == client.get("/readyz").get_json()["rulebook"]
    assert reply["service"] == version("engine-build-rules")
    assert reply["evaluation"].startswith("sha256:") and len(reply["evaluation"]) == 71
    others = [
        evaluate(SENSOR, units="us"),
        evaluate(SENSOR, detail="full"),
        evaluate(SENSOR, require=["injector-duty"]),
        evaluate(INJECTORS),
    ]
    assert len({one["evaluation"] for one in (reply, *others)}) == 5
    turned = dict(reversed(SENSOR.items()))
    assert list(turned) != list(SENSOR) and evaluate(turned)["evaluation"] == reply["evaluation"]


def test_pin(client, evaluate):
    loaded = evaluate(SENSOR)["rulebook"]["digest"]
    assert evaluate(SENSOR, rulebook=loaded) == evaluate(SENSOR)
    for other in (f"{loaded}0", loaded.removeprefix("sha256:"), ""):
        response = client.post("/v1/evaluations", json={"build": SENSOR, "rulebook": other})
        assert response.status_code == 412
        assert (
            response.get_json()["code"] == "rulebook-not-loaded" and response.get_json()["loaded"] == loaded
        )


@st.composite
def parts_of(draw, build):
    """A build with some of its fields left out."""
    fields = [(group, field) for group, known in build.items() if isinstance(known, dict) for field in known]
    kept = draw(st.sets(st.sampled_from(fields)))
    return {
        group: {field: known[field] for field in known if (group, field) in kept}
        for group, known in build.items()
        if isinstance(known, dict)
    }


@pytest.mark.slow
@given(data=st.data())
def test_same_body_same_bytes_under_both_evaluators(apps, demo, data):
    build = data.draw(
        parts_of(
            demo
            | {
                "clutch": {
                    "clamp_load": "12000 N",
                    "outer_diameter": "265 mm",
                    "inner_diameter": "170 mm",
                    "discs": 1,
                }
            }
        )
    )
    body = json.dumps({"build": build, "detail": data.draw(st.sampled_from(["spoken", "summary", "full"]))})
    answers = {
        app.test_client().post("/v1/evaluations", data=body, content_type="application/json").data
        for app in (apps["compiled"], apps["reference"])
        for _ in range(2)
    }
    assert len(answers) == 1
    assert b"NaN" not in (only := answers.pop()) and b"Infinity" not in only
