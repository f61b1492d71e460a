"""What the rules do not model is said first, is never judged as something else, and what still holds is
judged.
"""

import pytest

from service.errors import SpecError
from service.evaluation.request import Request
from service.evaluation.sweep import sweep
from tests.support.rules import real_evaluator

DRIVELINE = {
    "clutch": {"torque_rating": "900 N.m", "torque_rating_at": "crank", "torque_rating_state": "bedded"},
    "target": {"torque": "600 N.m", "torque_at": "crank"},
}
PETROL = {
    "engine": {
        "displacement": "5.7 L",
        "cylinders": 8,
        "compression_ratio": 10.5,
        "peak_power_speed": "6000 rpm",
    },
    "fuel": {"aki": 93},
    "induction": {"kind": "natural"},
    "target": {"power": "350 hp", "power_at": "crank"},
}
BOOSTED_DIESEL = {
    "engine": {"displacement": "6.7 L", "cylinders": 6, "compression_ratio": 16.5},
    "induction": {"kind": "turbo", "boost": "45 psi"},
    "target": {"power": "800 hp", "power_at": "crank"},
}


def judged(reply) -> dict[str, str]:
    return {entry["check"]: entry["verdict"] for entry in reply["checks"]}


@pytest.mark.parametrize("kind", ["diesel", "rotary", "two_stroke"])
def test_another_engine_is_named_and_its_combustion_is_not_judged(reply_to, kind):
    build = {**PETROL, **DRIVELINE, "engine": {**PETROL["engine"], "type": kind}}
    reply = reply_to(build)
    [scope] = reply["scope"]
    assert reply["headline"].startswith(scope["text"]) and scope["inputs"] == ["engine.type"]
    assert judged(reply)["clutch-torque"] == "pass"
    stopped = {entry["check"]: entry.get("reason") for entry in reply["open"]["needs"]}
    for check in ("knock-margin", "power-from-airflow", "injector-duty", "mixture-at-power"):
        assert check not in judged(reply) and stopped[check] == scope["text"]
    assert not {question["input"] for question in reply["questions"]} & {"fuel.ron", "fuel.aki", "fuel.grade"}


def test_an_electric_motor_has_a_gearbox_and_no_clutch_of_an_engine(reply_to):
    build = {"engine": {"type": "electric"}, "driveline": {"gearbox_torque_rating": "500 N.m"}, **DRIVELINE}
    checks = judged(reply_to(build))
    assert "gearbox-torque" in checks and "clutch-torque" not in checks


def test_a_hybrid_is_judged_with_a_remark(reply_to):
    build = {**PETROL, "engine": {**PETROL["engine"], "type": "hybrid"}}
    reply, alone = reply_to(build), reply_to(PETROL)
    assert judged(reply) == judged(alone)
    assert reply["scope"] and "scope" not in alone


def test_nitrous_stops_what_it_changes(reply_to):
    with_it = {**PETROL, "induction": {"kind": "natural", "nitrous_power": "200 hp"}}
    assert "knock-margin" in judged(reply_to(PETROL)) or "power-from-airflow" in judged(reply_to(PETROL))
    reply = reply_to({**with_it, "clutch": DRIVELINE["clutch"]})
    assert not judged(reply).keys() & {
        "knock-margin",
        "power-from-airflow",
        "cylinder-pressure",
        "injector-duty",
    }
    assert "clutch-torque" in judged(reply)
    assert not reply["complete"] and "itrous" in reply["headline"].split(".")[0]


@pytest.mark.parametrize("word", ["compound", "twincharged", "compound turbos"])
def test_two_chargers_in_series_stop_what_one_is_modelled_for(word, reply_to):
    exhaust = {"gas_temperature": "940 degC", "gas_temperature_at": "before_turbine"}
    build = {**PETROL, **DRIVELINE, "induction": {"kind": word, "boost": "20 psi"}, "exhaust": exhaust}
    build |= {"target": {"power": "600 hp", "power_at": "crank"}}
    build |= {"fuel_system": {"delivery": "port", "injector_flow": "900 cc/min", "rail_pressure": "43.5 psi"}}
    build |= {"clutch": {**DRIVELINE["clutch"], "torque_rating": "1200 N.m"}}
    reply = reply_to(build)
    [scope] = reply["scope"]
    assert reply["headline"].startswith(scope["text"]) and scope["inputs"] == ["induction.kind"]
    kept = judged(reply)
    assert {"clutch-torque", "injector-duty", "exhaust-temperature"} <= kept.keys()
    stopped = {entry["check"] for entry in reply["open"]["needs"] if entry.get("reason") == scope["text"]}
    air = {"knock-margin", "power-from-airflow", "compressor-match", "blower-belt", "charge-temperature"}
    assert air <= stopped and not air & kept.keys()
    # The exhaust is that of a turbo.
    turbo = {**build, "induction": {"kind": "turbo", "boost": "20 psi"}}
    assert kept["exhaust-temperature"] == judged(reply_to(turbo))["exhaust-temperature"] == "pass"


def test_so_much_compression_with_boost_is_asked_about_first(reply_to):
    reply = reply_to(BOOSTED_DIESEL)
    assert reply["questions"][0]["input"] == "engine.type"
    assert "knock-margin" not in judged(reply)
    engine = {**BOOSTED_DIESEL["engine"], "type": "four_stroke_petrol"}
    less_boost = {"kind": "turbo", "boost": "20 psi"}
    said = reply_to({**BOOSTED_DIESEL, "engine": engine, "fuel": {"ron": 98}, "induction": less_boost})
    assert "scope" not in said


def test_words_for_engines_are_read():
    reader = real_evaluator().reader
    for word, kind in {"wankel": "rotary", "EV": "electric", "gasoline": "four_stroke_petrol"}.items():
        assert reader.read({"engine": {"type": word}}).choices["engine.type"] == kind


def test_columns_stop_where_one_build_does():
    """The number that tells may vary: each candidate is stopped as it would be alone."""
    import numpy as np

    evaluator = real_evaluator()
    build = {
        **BOOSTED_DIESEL,
        "fuel": {"ron": 98},
        "engine": {**BOOSTED_DIESEL["engine"], "peak_power_speed": "3000 rpm"},
    }
    known = evaluator.reader.read(build)
    ratios = np.array([9.0, 14.0, 15.5, 17.0])
    swept = sweep(evaluator, evaluator.plan(known), known, {"engine__compression_ratio": ratios})
    columns = {
        plan.check.id: column.severity for plan, column in zip(swept.plan.checks, swept.checks, strict=True)
    }
    for position, ratio in enumerate(ratios):
        alone = evaluator.evaluate(
            Request({**build, "engine": {**build["engine"], "compression_ratio": float(ratio)}})
        )
        verdicts = judged(alone)
        for check, severities in columns.items():
            assert (severities[position] >= 0) == (check in verdicts), (check, ratio)


@pytest.mark.parametrize(
    ("group", "field", "word", "told"),
    [
        ("fuel", "grade", "diesel", "engine.type"),
        ("induction", "kind", "electric", "engine.type"),
        ("induction", "kind", "Wankel", "engine.type"),
        ("induction", "kind", "nitrous", "induction.nitrous_power"),
    ],
)
def test_a_kind_of_engine_in_the_wrong_field_leads_to_the_right_one(group, field, word, told):
    with pytest.raises(SpecError) as refused:
        real_evaluator().reader.read({group: {field: word}})
    [fault] = refused.value.faults
    assert told in fault.detail and fault.suggestion is None


def test_usual_values_are_those_of_petrol_engines():
    """A diesel of 17:1 is nothing unusual; the same figure of a petrol engine is asked about."""
    evaluator = real_evaluator()

    def consistency(kind):
        answer = evaluator.evaluate(Request({"engine": {"type": kind, "compression_ratio": 17.0}}))
        return next(entry["verdict"] for entry in answer["checks"] if entry["check"] == "spec-consistency")

    assert (consistency("diesel"), consistency("four_stroke_petrol")) == ("pass", "warn")
