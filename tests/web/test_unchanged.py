"""A short slice of what must change nothing; `make proof ONLY=unchanged` takes ten times the builds."""

import pytest

from tests.proof.unchanged import Unchanged

BUILDS = 30


@pytest.mark.slow
def test_order_units_length_batch_sweep_and_a_check_alone_change_nothing():
    compared = Unchanged().compare(BUILDS)
    assert set(compared.tried.values()) == {BUILDS}
    assert compared.differing == []


@pytest.mark.slow
def test_a_change_that_matters_is_seen():
    unchanged = Unchanged()
    unchanged.changes = {
        "another build": lambda build, whole: unchanged.same_in_a_batch({**build, "usage": "marine"}, whole)
    }
    assert unchanged.compare(5).differing
