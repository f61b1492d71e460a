"""Ladders: whole steps of the unit people use, read back as a client's text is."""

import pytest

from service.advice.ladder import ladder_of
from service.evaluation.known import Known
from service.units.reading import read_number
from service.units.units import to_si


@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_end_of_every_ladder_can_be_given(real_rules, system):
    tried = 0
    for path, field in real_rules.rulebook.inputs.items():
        ladder = ladder_of(real_rules.rulebook, path, Known(), system)
        if ladder is None or field.kind == "count":
            continue
        for rung in (ladder.lowest, (ladder.lowest + ladder.highest) // 2, ladder.highest):
            reading = read_number(ladder.text(rung), field.form)
            assert reading.value == ladder.value(rung), (path, rung)
            tried += 1
    assert tried > 200


@pytest.fixture
def ladder(real_rules):
    def make(path, text, dimension, system, name):
        return ladder_of(real_rules.rulebook, path, Known(numbers={name: to_si(text, dimension)}), system)

    return make


def test_a_value_between_steps_rounds_to_the_safe_side(ladder):
    boost = ladder("induction.boost", "12.34 psi", "pressure", "us", "induction__boost")
    assert boost.text(boost.rungs("down")[0]) == "12.3 psi"
    assert boost.text(boost.rungs("up")[0]) == "12.4 psi"


def test_a_value_on_a_step_moves_to_the_next_one(ladder):
    ratio = ladder("engine.compression_ratio", "9.5", "ratio", "us", "engine__compression_ratio")
    assert ratio.text(ratio.rungs("down")[0]) == "9.4"


def test_temperatures_step_on_their_own_scale(ladder):
    charge = ladder(
        "charge_cooling.charge_temperature",
        "60 degC",
        "temperature",
        "us",
        "charge_cooling__charge_temperature",
    )
    # 60 degC is 140 degF.
    assert charge.now == pytest.approx(140)
    assert charge.text(charge.rungs("down")[0]) == "139 °F"


def test_an_input_not_given_starts_from_the_far_side(real_rules):
    boost = ladder_of(real_rules.rulebook, "induction.boost", Known(), "us")
    assert boost.now is None
    assert boost.rungs("down") == (boost.highest, boost.lowest)


def test_what_is_no_number_has_no_ladder(real_rules):
    assert ladder_of(real_rules.rulebook, "induction.kind", Known(), "us") is None


def test_the_words_a_build_uses_are_kept(real_rules):
    known = real_rules.reader.read({"fuel_system": {"injector_flow": "550 cc/min"}})
    assert ladder_of(real_rules.rulebook, "fuel_system.injector_flow", known, "us").text(56) == "560 cc/min"
    known = real_rules.reader.read({"fuel_system": {"injector_flow": "42 lb/h"}})
    assert ladder_of(real_rules.rulebook, "fuel_system.injector_flow", known, "us").text(43) == "43 lb/h"
