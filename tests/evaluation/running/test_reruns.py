"""Running again only what depends on a change gives what a whole run gives."""

import numpy
import pytest

from service.evaluation.running.reruns import Change, Reruns, readings
from service.evaluation.running.run import run_plan
from tests.support.builds import BUILDS


@pytest.mark.parametrize("build", BUILDS.values(), ids=BUILDS)
def test_a_rerun_is_a_run(real_rules, build):
    slots = real_rules.rulebook.graph.slots
    known = real_rules.reader.read(build)
    plan = real_rules.plan(known)
    base = run_plan(plan, known, slots).figures
    judged_slots = {point_plan.slot for check_plan in plan.checks for point_plan in check_plan.points}
    reruns = Reruns(plan.steps, judged_slots)
    source = numpy.random.default_rng(5)
    changes = [(name, value * source.uniform(0.9, 1.1)) for name, value in known.numbers.items()]
    asked = [Change(reruns.chain(slots[name]), {slots[name]: value}) for name, value in changes]
    before = base.values.copy()
    rerun = reruns.run(base, asked)
    # Read alone the changes give the same, bit for bit, and leave the base as it was.
    reached = [tuple(sorted(change.chain.changes & judged_slots)) for change in asked]
    for read, changed in zip(readings(reruns, base, asked, reached), rerun, strict=True):
        assert repr(read) == repr({slot: changed.values[slot] for slot in read})
    assert repr(base.values) == repr(before)
    moved = 0
    for (name, value), changed in zip(changes, rerun, strict=True):
        known.numbers[name], kept = value, known.numbers[name]
        whole, failed = run_plan(plan, known, slots).figures
        known.numbers[name] = kept
        for slot in judged_slots:
            if slot in failed:
                assert slot in changed.failed
            else:
                assert changed.values[slot] == pytest.approx(whole[slot], rel=1e-12)
                moved += changed.values[slot] != base.values[slot]
    assert moved > len(changes) / 2


def test_what_a_change_cannot_reach_is_not_run(real_rules):
    known = real_rules.reader.read(next(iter(BUILDS.values())))
    plan = real_rules.plan(known)
    slots = real_rules.rulebook.graph.slots
    reruns = Reruns(plan.steps, [slots["injector_duty"]])
    assert not any(reruns.chain(slots["conditions__altitude"]).stretches)
    assert 0 < sum(map(len, reruns.chain(slots["target__power"]).stretches)) < len(plan.steps)


def test_a_change_that_cannot_be_worked_out_is_named(real_rules):
    known = real_rules.reader.read(next(iter(BUILDS.values())))
    plan = real_rules.plan(known)
    slots = real_rules.rulebook.graph.slots
    base = run_plan(plan, known, slots).figures
    reruns = Reruns(plan.steps, [slots["injector_duty"]])
    flow = slots["fuel_system__injector_flow_by_mass"]
    (changed,) = reruns.run(base, [Change(reruns.chain(flow), {flow: 0.0})])
    assert slots["injector_duty"] in changed.failed and not base.failed
