"""A run over floats: the same under both evaluators, and safe to share between threads."""

from concurrent.futures import ThreadPoolExecutor
from math import isfinite, isnan

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from service.errors import SpecError
from service.evaluation.evaluate import PLANS_KEPT, Evaluator
from service.evaluation.request import Request
from service.evaluation.running.run import run_plan

# numpy remarks on a root of a negative number (a rod shorter than half the stroke); the step is nan and not
# judged, by design.
numpy_remarks = pytest.mark.filterwarnings("ignore::RuntimeWarning")
# A smaller failing build says no more than the first one, and takes minutes to find.
UNSHRUNK = [Phase.explicit, Phase.generate]
WINCH = {"load": {"force": "100 N"}, "rope": {"strength": "500 N"}}


def worked(evaluator, build):
    """Values by name, and the names that could not be worked out."""
    known = evaluator.reader.read(build)
    slots = evaluator.rulebook.graph.slots
    values, failed = run_plan(evaluator.plan(known), known, slots).figures
    names = {slot: name for name, slot in slots.items()}
    filled = {names[slot]: value for slot, value in enumerate(values) if value == value or slot in failed}
    return filled, {names[slot]: names[first] for slot, first in failed.items()}


@pytest.mark.slow
@numpy_remarks
@given(data=st.data())
@settings(max_examples=100, phases=UNSHRUNK)
def test_both_evaluators_agree_on_the_real_rules(both, builds, data):
    build = data.draw(builds)
    try:
        (values, failed), (others, other_failed) = (worked(evaluator, build) for evaluator in both)
    except SpecError as error:
        # A place said twice, or a curve that is flat: the reader's business, and its faults are no accident
        # of one of the two.
        assert {fault.code for fault in error.faults} <= {"contradiction", "not-a-curve", "out-of-range"}
        return
    assert failed == other_failed
    assert values.keys() == others.keys()
    for name, value in values.items():
        if isinstance(value, float) and name not in failed:
            assert isfinite(value), name
            assert others[name] == pytest.approx(value, rel=1e-12, abs=0), name


@pytest.mark.slow
@numpy_remarks
@given(data=st.data())
@settings(max_examples=50, phases=UNSHRUNK)
def test_replies_are_the_same_and_hold_no_nan(both, builds, data):
    build = data.draw(builds)
    try:
        replies = [evaluator.evaluate(Request(build, detail="full")) for evaluator in both]
    except SpecError:
        return
    assert replies[0] == replies[1]
    judged = replies[0]["checks"]
    assert all(entry["value"]["value"] is not None for entry in judged if "value" in entry)
    assert len({entry["check"] for entry in judged}) == len(judged)


def test_by_hand(winch):
    values, failed = worked(
        winch, {"load": {"mass": "20 kg"}, "rope": {"area": "1 cm2", "material": "steel"}}
    )
    assert failed == {}
    assert values["pull"] == 200.0
    assert values["rope_strength"] == pytest.approx(10_000.0)
    assert values["strength_margin"] == pytest.approx(50.0)
    assert values["safe_strength_margin"] == pytest.approx(25.0)


def test_only_what_a_check_needs_is_run(winch):
    known = winch.reader.read(WINCH | {"load": {"force": "100 N", "place": "near"}})
    slots = winch.rulebook.graph.slots
    values, _ = winch.run(known, ("rope-strength",)).figures
    assert values[slots["strength_margin"]] == 5.0 and isnan(values[slots["anchor_pull"]])


def test_what_hangs_on_a_failed_step_names_it(winch):
    stretch = [{"pull": "1 N", "length": "1 mm"}, {"pull": "2 N", "length": "2 mm"}]
    _, failed = worked(winch, {"load": {"force": "100 N", "clearance": "1 m"}, "rope": {"stretch": stretch}})
    assert failed == {"stretch": "stretch", "stretch_share": "stretch"}


def test_one_plan_for_the_same_names_and_choices(winch):
    read = winch.reader.read
    first = winch.plan(read(WINCH))
    assert winch.plan(read({"rope": {"strength": "9 N"}, "load": {"force": "1 kN"}})) is first
    assert winch.plan(read(WINCH | {"usage": "goods"})) is not first
    assert winch.plan(read(WINCH), ("rope-strength",)) is not first


def test_the_cache_of_plans_is_bounded_and_keeps_what_is_used(winch):
    # As an attacker would: another set of names each time.
    fresh = Evaluator(winch.rulebook)
    kept = fresh.plan(fresh.reader.read(WINCH))
    fields = {
        "load": ["mass", "figure", "clearance"],
        "rope": ["area"],
        "winch": ["speed", "slow_speed", "overspeed", "radius"],
    }
    spelled = {"mass": "1 kg", "figure": "1 N", "clearance": "1 m", "area": "1 cm2", "radius": "1 m"}
    flat = [(group, name) for group, names in fields.items() for name in names]
    for number in range(2 ** len(flat)):
        for usage in ("goods", "people", None):
            build = {"usage": usage} if usage else {}
            for position, (group, name) in enumerate(flat):
                if number >> position & 1:
                    build.setdefault(group, {})[name] = spelled.get(name, "1 rad/s")
            fresh.plan(fresh.reader.read(build))
        assert fresh.plan(fresh.reader.read(WINCH)) is kept
    assert len(fresh._plans) == PLANS_KEPT < 3 * 2 ** len(flat)


def test_four_threads_share_one_evaluator(winch):
    fresh = Evaluator(winch.rulebook)
    asked = [
        Request(
            {"load": {"force": f"{force} N"}, "rope": {"strength": "1000 N"}}
            | ({"usage": usage} if usage else {}),
            detail="full",
        )
        for force in range(1, 60)
        for usage in ("goods", "people", None)
    ]
    alone = [Evaluator(winch.rulebook).evaluate(request) for request in asked]
    with ThreadPoolExecutor(4) as threads:
        together = list(threads.map(fresh.evaluate, asked * 4))
    assert together == alone * 4
