"""Values as no clerk should write them, over every input of the rulebook: a number that can be, or a fault
with its place. The long run is tests/proof/unit_strings.py.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.units.units import DIMENSIONS
from tests.proof.tally import Tally
from tests.proof.unit_strings import REPEATED, SLOWEST_MS, Judge, value

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def judge(real_rules):
    return Judge(real_rules.rulebook)


def test_every_input_takes_what_fits_and_refuses_a_picture(judge):
    """The judge looks where it should: a reader that took or refused everything would show here."""
    for one in judge.inputs:
        if one.kind == "number":
            dimension = one.form.dimensions[0]
            unit = DIMENSIONS[dimension].units[DIMENSIONS[dimension].offered[0]]
            low, high = ((end - unit.offset) / unit.factor for end in one.form.possible[dimension])
            fitting = f"{(low + high) / 2:.6g} {unit.text}"
        else:
            fitting = {
                "count": one.possible_count[0],
                "flag": True,
                "choice": judge.rulebook.choices.get(one.path, "?")[0],
            }.get(one.kind)
        assert judge(one.path, fitting) == (one.kind not in ("curve", "map"), None), one.path
        assert judge(one.path, "\N{AUTOMOBILE}") == (False, None), one.path


@settings(max_examples=300)
@given(data=st.data())
def test_any_value_is_read_or_refused_with_its_place(judge, data):
    one = data.draw(st.sampled_from(judge.inputs))
    tally = Tally()
    tally.one(judge, one.path, value(data.draw(st.randoms(use_true_random=False)), one))
    assert tally.wrong == {}
    assert tally.worst_ns <= SLOWEST_MS * 1e6


@pytest.mark.parametrize("piece", REPEATED, ids=range(len(REPEATED)))
def test_no_repeat_makes_a_reader_search(judge, piece):
    tally = Tally()
    for path in (
        "induction.boost",
        "target.power",
        "engine.compression_ratio",
        "fuel.ethanol",
        "induction.kind",
    ):
        for times in (16, 64, 10_000):
            for end in ("", "x", " psi"):
                tally.one(judge, path, f"1{piece}{piece * times}{end}"[: 64 if times == 64 else None])
    assert tally.wrong == {}
    assert tally.worst_ns <= SLOWEST_MS * 1e6


@pytest.mark.parametrize("written", ["8000 bhp", "-3 bhp", "1e308 bhp"])
def test_a_suggestion_for_a_unit_with_a_place_is_taken_itself(judge, written):
    assert judge("engine.power_rating", written) == (False, None)
