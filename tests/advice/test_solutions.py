"""Working backwards: what is found gives what was wanted, and what cannot be had is said."""

from math import isfinite

import pytest

from service.advice.ladder import ladder_of
from service.advice.reached import Reached, Wanted
from service.advice.solutions import Reach, SolutionsRequest, solutions
from service.errors import SpecError
from service.evaluation.planning.plan import NO_CHECKS, make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.running.run import run_plan
from tests.benchmarks.builds import FULL
from tests.published.test_blower import DRIVES, drive
from tests.published.test_measured_drives import FLOWN, flown
from tests.support.builds import with_change

DRIVE = {
    "engine": {
        "displacement": "5.0 L",
        "cylinders": 8,
        "peak_power_speed": "6500 rpm",
        "redline": "7000 rpm",
        "compression_ratio": 9.5,
        "chamber_design": "four_valve",
    },
    "induction": {
        "kind": "screw",
        "blower_displacement": "2.3 L",
        "crank_pulley_diameter": "6.6 in",
        "blower_step_up": 1,
    },
    "fuel": {"aki": 93},
    "target": {"power": "550 hp", "power_at": "crank"},
}
PULLEY = "induction.blower_pulley_diameter"


def solve(evaluator, build, find, quantity, value, at=None, units="us"):
    return solutions(evaluator, SolutionsRequest(build, find, Reach(quantity, value, at), units))


def placed(path, value):
    group, _, name = path.partition(".")
    return {group: {name: value}}


def worked_out(evaluator, build, name):
    plan = make_plan(Resolution(evaluator.rulebook, evaluator.read(build)), NO_CHECKS, (name,))
    return run_plan(plan, evaluator.read(build), evaluator.slots).figures.values[evaluator.slots[name]]


# Input, quantity, point, value wanted, and the same in SI.
ROUND_TRIPS = [
    ("fuel_system.injector_flow", "injector_duty", None, "85 %", 0.85),
    ("induction.boost", "expected_power", None, "500 hp", 500 * 745.6998715822702),
    ("induction.boost", "manifold_temperature", "peak_power", "140 degF", 333.15),
    (
        "engine.compression_ratio",
        "knock_limited_phasing",
        "peak_power",
        "25 deg",
        25 * 3.141592653589793 / 180,
    ),
    ("engine.redline", "mean_piston_speed", None, "20 m/s", 20.0),
    ("target.power", "fuel_demand", None, "300 lb/h", 300 * 0.45359237 / 3600),
    ("clutch.torque_rating", "clutch_torque_margin", None, "1.25", 1.25),
]
WHOLE = with_change(
    DRIVE,
    {
        "engine": {"stroke": "90 mm"},
        "induction": {"boost": "9 psi"},
        "fuel_system": {"injector_count": 8, "injector_flow": "60 lb/h", "delivery": "port"},
        "target": {"torque": "450 lb-ft", "torque_at": "crank"},
        "clutch": {"torque_rating": "600 lb-ft", "torque_rating_at": "crank"},
    },
)


@pytest.mark.parametrize(("find", "quantity", "at", "value", "si"), ROUND_TRIPS)
def test_what_is_found_gives_what_was_wanted(real_rules, find, quantity, at, value, si):
    answer = solve(real_rules, WHOLE, find, quantity, value, at)
    assert answer["solutions"], answer["headline"]
    name = real_rules.rulebook.identify(quantity, at or ("peak_power" if at else None))
    for solution in answer["solutions"]:
        found = worked_out(real_rules, with_change(WHOLE, placed(find, solution["set"])), name)
        assert found == pytest.approx(si, rel=1e-9)


def test_the_pulley_that_makes_ten_psi(real_rules):
    """At the pulley found the drive makes the boost it is judged at; a smaller one makes more."""
    answer = solve(real_rules, DRIVE, PULLEY, "boost_from_drive", "10 psi")
    (solution,) = answer["solutions"]
    assert answer["headline"].startswith("About ") and answer["headline"].endswith("for 10 psi.")
    build = with_change(DRIVE, placed(PULLEY, solution["set"]) | {})
    build = with_change(build, {"induction": {"boost": "10 psi"}})
    psi = 6894.757293168
    assert worked_out(real_rules, build, "boost_from_drive") == pytest.approx(10 * psi, rel=1e-9)
    smaller = solve(real_rules, DRIVE, PULLEY, "boost_from_drive", "14 psi")["solutions"][0]
    assert smaller["value"] < solution["value"]
    assert solution["range"]["low"] < solution["value"] < solution["range"]["high"]


SOLD = [(drive(*sold), sold[-2]) for sold in DRIVES]
FLIGHTS = [(flown(ratio, feet), None) for ratio, feet in FLOWN]


@pytest.mark.parametrize(("build", "psi"), SOLD + FLIGHTS)
def test_the_drive_that_was_fitted_lies_in_the_range(real_rules, build, psi):
    """Drives as sold and as flown, with their sources in test_blower.py and test_measured_drives.py."""
    ratio = float(build["induction"]["blower_drive_ratio"])
    boost = f"{psi} psi" if psi else build["induction"]["boost"]
    open_end = with_change(build, {"induction": {"boost": boost}})
    del open_end["induction"]["blower_drive_ratio"]
    answer = solve(real_rules, open_end, "induction.blower_drive_ratio", "boost_from_drive", boost)
    (solution,) = answer["solutions"]
    assert solution["range"]["low"] <= ratio <= solution["range"]["high"]


def test_what_cannot_be_reached_names_the_nearest(real_rules):
    answer = solve(real_rules, WHOLE, "induction.boost", "expected_power", "3000 hp")
    assert answer["solutions"] == [] and "nearest" in answer["headline"]
    assert answer["nearest"]["reaches"]["value"] < 3000


def test_what_fails_with_it_is_said(real_rules):
    answer = solve(real_rules, WHOLE, "target.power", "fuel_demand", "500 lb/h")
    (solution,) = answer["solutions"]
    assert solution["verdict"] == "fail" and solution["stopped_by"] and solution["remark"].endswith(" fails.")


def test_what_it_does_not_depend_on(real_rules):
    answer = solve(real_rules, WHOLE, "clutch.torque_rating", "mean_piston_speed", "20 m/s")
    assert "doesn't depend on" in answer["headline"] and "solutions" not in answer


def test_what_is_missing_is_asked_for(real_rules):
    answer = solve(
        real_rules, {"target": {"power": "500 hp"}}, "fuel_system.injector_flow", "injector_duty", "85 %"
    )
    assert "I need the number of injectors" in answer["headline"]
    assert answer["questions"][0]["input"] == "fuel_system.injector_count"


def test_the_size_that_is_sold(real_rules):
    (solution,) = solve(real_rules, WHOLE, "fuel_system.injector_flow", "injector_duty", "85 %")["solutions"]
    sizes = (19, 24, 30, 36, 42, 48, 60, 80, 96, 120, 160)
    nearest = min(sizes, key=lambda size: abs(size - solution["value"]))
    assert solution["next_size"]["text"] == f"{nearest} lb/h"


@pytest.mark.parametrize(
    ("find", "value", "pointer", "code"),
    [
        ("induction.kind", "10 psi", "/find", "not-movable"),
        (PULLEY, "10", "/reach/value", "unit-missing"),
        (PULLEY, "10 kg", "/reach/value", "wrong-unit"),
    ],
)
def test_a_wrong_question_is_told_where(real_rules, find, value, pointer, code):
    with pytest.raises(SpecError) as caught:
        solve(real_rules, DRIVE, find, "boost_from_drive", value)
    (fault,) = caught.value.faults
    assert fault.pointer == pointer and code in (fault.code, "wrong-unit")


PAIRS_EACH = 2
# Where a curve crosses the value twice between two places looked at it is seen as not crossing it.
LEAST_FOUND = 0.99


def pairs(evaluator, build):
    """Quantities of a build and inputs that move them, wanted as they are somewhere on the way."""
    known = evaluator.read(build)
    inputs = evaluator.rulebook.inputs
    for quantity in evaluator.rulebook.quantities.values():
        name = evaluator.rulebook.identify(quantity.name, "peak_power" if quantity.at_points else None)
        found = 0
        for path in sorted(evaluator.dependence.behind(quantity.name)):
            ladder = ladder_of(evaluator.rulebook, path, known, "us") if path in inputs else None
            if ladder is None or found == PAIRS_EACH:
                continue
            reached = Reached(evaluator, known, ladder, Wanted(name, 0.0))
            if not (reached.known_at_all and reached.depends):
                continue
            rungs = (ladder.lowest + (ladder.highest - ladder.lowest) * part // 100 for part in (37, 41))
            value, further = reached.values([ladder.value(rung) for rung in rungs])
            if isfinite(value) and isfinite(further) and value != further:
                found += 1
                yield f"{quantity.name} by {path}", Reached(evaluator, known, ladder, Wanted(name, value))


@pytest.mark.parametrize("build", [DRIVE, FULL], ids=["a drive", "a whole build"])
def test_there_and_back_for_whatever_an_input_moves(real_rules, build):
    lost, tried = [], 0
    for title, reached in pairs(real_rules, build):
        tried += 1
        wanted = reached.wanted.value
        back = reached.values(reached.roots())
        if not any(value == pytest.approx(wanted, rel=1e-9, abs=0) for value in back):
            lost.append(title)
    assert tried >= 100 and len(lost) <= (1 - LEAST_FOUND) * tried, lost
