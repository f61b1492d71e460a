"""The working at `full`: a reader with a pencil gets the same numbers."""

import math
import re

import pytest

from tests.support.pint_units import UNIT as UNITS

# The units of the injector and clutch working, as pint spells them.
SPELLED = {
    "lb/hp/h": "pound/horsepower/hour",
    "g/kWh": "gram/kilowatt/hour",
    "lb/h": "pound/hour",
    "kg/h": "kilogram/hour",
    "hp": "horsepower",
    "kW": "kilowatt",
    "psi": "psi",
    "kPa": "kilopascal",
    "kg/L": "kilogram/liter",
    "lb-ft": "foot*pound_force",
    "N.m": "newton*meter",
    "lbf": "pound_force",
    "N": "newton",
    "mm": "millimeter",
    "in": "inch",
    "%": "percent",
}
FACTORS = {spelling: UNITS(text).to_base_units().magnitude for spelling, text in SPELLED.items()}
NUMBER = re.compile(
    r"([0-9]+(?:\.[0-9]+)?)(?: ("
    + "|".join(re.escape(one) for one in sorted(FACTORS, key=len, reverse=True))
    + r")(?![A-Za-z0-9/.]))?"
)
NAME = re.compile(r"[a-z][a-z0-9_]*(?:\.[a-z0-9_]+)?(?!\w)(?! ?\()")

INJECTORS = {
    "usage": "street",
    "target": {"power": "550 hp", "power_at": "crank"},
    "fuel": {"brake_specific_consumption": "0.60 lb/hp/h"},
    "fuel_system": {
        "injector_count": 8,
        "injector_flow": "45 lb/h",
        "injector_rated_fluid": "petrol",
        "rail_pressure": "58 psi",
        "injector_rated_pressure": "43.5 psi",
        "boost_referenced": "yes",
    },
}
CLUTCH = {
    "clutch": {
        "clamp_load": "9500 N",
        "outer_diameter": "265 mm",
        "inner_diameter": "170 mm",
        "discs": 1,
        "facing": "organic",
    },
    "target": {"torque": "400 N.m", "torque_at": "crank"},
}


def by_hand(line):
    """What a line of working comes to, in SI, by arithmetic alone."""
    sum_ = NUMBER.sub(lambda found: f"({float(found[1])} * {FACTORS[found[2]] if found[2] else 1.0})", line)
    assert re.fullmatch(r"[0-9.e+\-*/() ]*", re.sub("sqrt|pi", "", sum_)), line
    return eval(sum_, {"__builtins__": {}, "sqrt": math.sqrt, "pi": math.pi})


def rule_names(client):
    inputs = client.get("/v1/inputs").get_json()["inputs"]
    quantities = client.get("/v1/quantities").get_json()["quantities"]
    numbers = {one["input"] for one in inputs if one["kind"] in ("number", "count")}
    return numbers | {one["quantity"] for one in quantities}


def test_no_name_is_left_in_the_numbers(client, evaluate, example, demo):
    names = rule_names(client)
    opaque = {
        one["input"]
        for one in client.get("/v1/inputs").get_json()["inputs"]
        if one["kind"] in ("curve", "map")
    }
    builds = [
        demo,
        CLUTCH,
        *(
            example(name)["request"]["build"]
            for name in ("counter-partial", "log-in-metric", "direct-injection")
        ),
    ]
    steps = [
        step
        for build in builds
        for entry in evaluate(build, detail="full")["checks"]
        for step in entry.get("working", [])
    ]
    assert len(steps) > 30
    for step in steps:
        left = set(NAME.findall(step["with_numbers"])) - opaque
        assert not left & names, step
        assert not [one for one in left if re.match(r"(assumed|lowest|highest|point)\.", one)], step
        assert "at_peak" not in step["with_numbers"], step


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize(("check", "build"), [("injector-duty", INJECTORS), ("clutch-torque", CLUTCH)])
def test_every_line_can_be_worked_by_hand(judged, check, build, units):
    working = judged(check, build, detail="full", units=units)["working"]
    assert working
    for step in working:
        value = step["value"] * FACTORS.get(step["unit"], 1.0)
        # The numbers put in are rounded to three digits, and a line has up to six of them.
        assert by_hand(step["with_numbers"]) == pytest.approx(value, rel=0.015), step
        assert float(step["text"].split()[0]) == pytest.approx(step["value"], rel=0.005)


def test_injector_duty_from_the_request_to_the_verdict(judged):
    entry = judged("injector-duty", INJECTORS, detail="full", units="us")
    steps = {step["name"]: step for step in entry["working"]}
    demand = 550 * 0.60
    flow = 45 * math.sqrt(58 / 43.5)
    assert steps["fuel_demand"]["value"] == pytest.approx(demand, rel=1e-9)
    assert steps["fuel_demand"]["with_numbers"] == "550 hp * 0.6 lb/hp/h"
    assert steps["injector_flow"]["value"] == pytest.approx(flow, rel=1e-9)
    assert entry["value"]["value"] == pytest.approx(100 * demand / (8 * flow), rel=1e-9)
    assert list(steps)[-1] == "injector_duty"
    # Each line comes after those it reads.
    order = list(steps)
    for position, step in enumerate(entry["working"]):
        assert not set(NAME.findall(step["formula"])) & set(order[position + 1 :])


def test_every_line_names_its_source(judged):
    for check, build in (("injector-duty", INJECTORS), ("clutch-torque", CLUTCH)):
        steps = {step["name"]: step for step in judged(check, build, detail="full")["working"]}
        assert all(step["source"]["kind"] and step["source"]["citation"] for step in steps.values())
        given = "injector_rated_flow" if check == "injector-duty" else "crank_torque"
        assert steps[given]["formula"] and steps[given]["label"]
    assert steps["stated_crank_torque"]["source"] == {"kind": "given", "citation": "Given in the request."}
    assert steps["clutch_mean_radius"]["source"]["kind"] == "book"
