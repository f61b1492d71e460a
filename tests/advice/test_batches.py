"""Many builds in one call say what each says alone."""

from service.advice.batches import evaluate_batch


def test_a_check_that_asks_only_whether_something_is_there_has_no_value(real_rules):
    known = real_rules.reader.read({"usage": "marine", "marine": {"flame_arrester": "no"}})
    [entry] = evaluate_batch(real_rules, [known], ("marine-parts",), "metric")
    assert entry["checks"] == [{"check": "marine-parts", "verdict": "fail"}]


def test_a_yes_or_no_among_limits_shows_the_value_of_the_check_without_a_margin(real_rules, reply_to):
    build = {
        "engine": {
            "cylinders": 8,
            "displacement": "5.0 L",
            "bore": "100 mm",
            "stroke": "79.6 mm",
            "compression_ratio": 9.0,
            "head_fastener": "torque_to_yield",
            "head_fastener_reused": "yes",
            "head_stud_count": 20,
            "head_stud_diameter": "14 mm",
            "head_stud_torque": "150 N.m",
            "peak_torque_speed": "4000 rpm",
        },
        "induction": {"kind": "turbo", "boost": "3 psi"},
        "fuel": {"ron": 98},
    }
    [alone] = reply_to(build, checks=("head-clamping",), include=())["checks"]
    [entry] = evaluate_batch(real_rules, [real_rules.reader.read(build)], ("head-clamping",), "metric")
    [together] = entry["checks"]
    assert alone["verdict"] == together["verdict"] == "warn"
    assert "margin" not in alone and "margin" not in together
    assert together["value"] == alone["value"] and alone["value"]["value"] > 1.35


def test_a_value_just_past_its_limit_does_not_read_like_the_limit(real_rules, reply_to):
    """8 x 42 lb/h at 85 % feed 519.3 hp at 0.55 lb/hp/h; at 520 hp the duty is 85.1 %, no plain 85 %."""
    build = {
        "fuel_system": {
            "injector_count": 8,
            "injector_flow": "42 lb/h",
            "injector_rated_fluid": "petrol",
            "injector_rated_pressure": "43.5 psi",
            "rail_pressure": "43.5 psi",
            "boost_referenced": "yes",
        },
        "fuel": {"brake_specific_consumption": "0.55 lb/hp/h"},
        "target": {"power": "520 hp", "power_at": "crank"},
    }
    [alone] = reply_to(build, checks=("injector-duty",), include=())["checks"]
    [entry] = evaluate_batch(real_rules, [real_rules.reader.read(build)], ("injector-duty",), "metric")
    [together] = entry["checks"]
    assert together["verdict"] == "warn" and together["value"] == alone["value"]
    assert together["value"]["text"] == "85.1 %"
