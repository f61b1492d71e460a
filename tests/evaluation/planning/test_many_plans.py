"""A short slice of the proof over plans that come and go; `make proof ONLY=many-plans` takes 20,000."""

import pytest

from service.evaluation import evaluate
from service.evaluation.known import Known
from tests.proof.many_plans import turn_over

BUILDS, KEPT = 60, 8


@pytest.fixture(autouse=True)
def _few_plans_kept(monkeypatch):
    monkeypatch.setattr(evaluate, "PLANS_KEPT", KEPT)


@pytest.mark.slow
def test_answers_are_those_of_a_fresh_evaluator_while_plans_come_and_go():
    turned = turn_over(BUILDS)
    assert len(turned.plans) > 4 * KEPT and turned.again == BUILDS - 1 and turned.refused < BUILDS / 10
    assert turned.differing == []


@pytest.mark.slow
def test_a_plan_under_the_wrong_key_is_seen(monkeypatch):
    """Were a plan kept by the numbers that are known alone, answers would differ."""
    monkeypatch.setattr(Known, "key", lambda known: frozenset(known.numbers))
    assert turn_over(30).differing
