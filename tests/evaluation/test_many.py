"""Vectorised answers against one at a time, field by field."""

import numpy
import pytest

from service.evaluation.judging.judge_columns import VERDICTS
from service.evaluation.judging.judged_run import judge_run
from service.evaluation.many import judge_many
from service.evaluation.request import Request
from service.evaluation.sweep import sweep
from tests.support.builds import BUILDS
from tests.support.random_builds import random_builds

COUNT = 600
WITHIN = 1e-12


@pytest.fixture(scope="module")
def builds():
    return random_builds(COUNT)


def one_by_one(evaluator, known):
    return {check.id: check.judgement for check in judge_run(evaluator.run(known)).judged}


@pytest.mark.slow
def test_random_builds_field_by_field(real_rules, builds):
    knowns = [real_rules.reader.read(build) for build in builds]
    outcomes = judge_many(real_rules, knowns)
    seen = set()
    for known, build, outcome in zip(knowns, builds, outcomes, strict=True):
        answer = real_rules.evaluate(Request(build, include=()))
        assert outcome.verdict == answer["verdict"]
        assert outcome.consistency == next(
            entry["verdict"] for entry in answer["checks"] if entry["check"] == "spec-consistency"
        )
        expected = one_by_one(real_rules, known)
        assert [check.check for check in outcome.checks] == list(expected)
        for check in outcome.checks:
            alone = expected[check.check]
            judges = alone.counting.bound.judges
            assert (check.verdict, check.point, check.judges) == (alone.verdict, alone.point, judges)
            assert check.value == pytest.approx(alone.value, rel=WITHIN)
            assert check.limit == pytest.approx(alone.limit, rel=WITHIN)
            assert check.margin == (
                None if alone.margin is None else pytest.approx(alone.margin, rel=WITHIN, abs=WITHIN)
            )
            seen.add((check.check, check.verdict))
    # Most checks are seen, and with more than one verdict.
    assert len({check for check, _ in seen}) > 50 and len(seen) > 110


@pytest.mark.parametrize(
    ("build", "name"),
    [
        ("5.0 L V8, screw blower", "induction__boost"),
        ("1.8 L inline four, turbo", "target__power"),
        ("1.8 L inline four, turbo", "engine__compression_ratio"),
    ],
)
def test_a_sweep_is_its_builds(real_rules, build, name):
    known = real_rules.reader.read(BUILDS[build])
    plan = real_rules.plan(known)
    column = known.numbers[name] * numpy.linspace(0.7, 1.2, 700)
    swept = sweep(real_rules, plan, known, {name: column})
    for entry in range(0, 700, 23):
        known.numbers[name] = float(column[entry])
        expected = one_by_one(real_rules, known)
        for check_plan, verdicts in zip(plan.checks, swept.checks, strict=True):
            alone = expected[check_plan.check.id]
            assert VERDICTS[int(verdicts.severity[entry])] == alone.verdict
            assert verdicts.value[entry] == pytest.approx(alone.value, rel=WITHIN)


def test_what_cannot_be_worked_out_is_not_judged(real_rules):
    known = real_rules.reader.read(BUILDS["5.0 L V8, screw blower"])
    plan = real_rules.plan(known, ("injector-duty",))
    swept = sweep(real_rules, plan, known, {"fuel_system__injector_flow_by_mass": numpy.array([0.0, 0.01])})
    assert [VERDICTS[int(code)] for code in swept.checks[0].severity] == ["not_checked", "pass"]


def test_a_division_by_zero_on_the_way_is_none_in_columns_either(real_rules):
    """A calibration for a vacuum on an engine without boost: the ratio is no number, though the larger of two
    such would be one.
    """
    builds = [
        {"induction": {"kind": "natural"}, "calibration": {"boost": f"-{tenths / 100} bar"}}
        for tenths in (10, 20)
    ]
    outcomes = judge_many(real_rules, [real_rules.reader.read(build) for build in builds])
    for build, outcome in zip(builds, outcomes, strict=True):
        alone = {entry["check"] for entry in real_rules.evaluate(Request(build, include=()))["checks"]}
        assert {check.check for check in outcome.checks} | {"spec-consistency"} == alone
