"""The best set of parts against every combination, each judged as a whole build of its own."""

import random
from itertools import product
from math import floor
from pathlib import Path

import pytest

from service.advice.choice import MARGIN_STEPS
from service.advice.dependence import Dependence
from service.advice.selection import SelectionRequest, select
from service.catalog.catalog import Catalog, misfits
from service.catalog.expand import expanded
from service.catalog.folder import read_folder
from service.evaluation.many import judge_many

PROBLEMS = 200
CHECKS = ("injector-duty", "fuel-pump-flow", "clutch-torque", "gearbox-torque", "half-shaft-torque", "manifold-pressure-range", "blower-speed", "flywheel-stress", "charge-temperature")
SEVERITY = {"not_checked": 0, "pass": 0, "warn": 1, "fail": 2}


@pytest.fixture(scope="module")
def whole(real_rules):
    return read_folder(Path(__file__).resolve().parents[1] / "catalog", real_rules.reader)


@pytest.fixture(scope="module")
def dependence(real_rules):
    return Dependence(real_rules.rulebook)


def problem(source, whole):
    """A few parts of a few slots, a build around them, and what is wanted."""
    slots = source.sample(["injectors", "fuel_pump", "clutch", "gearbox", "half_shafts", "manifold_pressure_sensor", "blower", "blower_pulley", "flywheel", "charge_cooler"], source.randint(2, 4))
    parts = {part.number: part for slot in slots for part in source.sample([part for part in whole.slots[slot] if part.stock], source.randint(2, 4))}
    power = source.randrange(250, 650, 10)
    build = {
        "usage": source.choice(["street", "track", "drag"]),
        "engine": {"cylinders": 8, "displacement": "5.0 L", "redline": "6500 rpm", "peak_power_speed": "6000 rpm"},
        "induction": {"kind": "screw", "boost": f"{source.randrange(5, 16)} psi", "crank_pulley_diameter": "190 mm"},
        "fuel_system": {"rail_pressure": "43.5 psi", "boost_referenced": "yes"},
        "driveline": {"layout": "rear", "final_drive_ratio": 3.5, "tyre_radius": "330 mm"},
        "vehicle": {"mass": "1600 kg"},
        "target": {"power": f"{power} hp", "power_at": "crank", "torque": f"{power * 1.25:.0f} N.m", "torque_at": "crank"},
    }
    objective = source.choice(["cheapest", "widest_margin", "fewest_changes"])
    if objective == "fewest_changes":
        build["parts"] = {part.slot: part.number for part in parts.values() if source.random() < 0.7}
    budget = source.choice([None, None, 100 * source.randrange(1500, 9000)])
    return Catalog("test", "EUR", parts), SelectionRequest(build, tuple(slots), objective, source.choice(["pass", "warn"]), budget, CHECKS)


def value(request, parts, outcomes):
    """What the objective counts, the smaller the better."""
    price = sum(part.price for part in parts)
    if request.objective == "cheapest":
        return (price,)
    if request.objective == "fewest_changes":
        current = request.build.get("parts", {})
        return sum(part.slot in current and current[part.slot] != part.number for part in parts), price
    margins = [one.margin if one.margin is not None else 0.0 for one in outcomes.checks]
    return -min((max(-MARGIN_STEPS, floor(min(margin, 5.0) * MARGIN_STEPS)) for margin in margins), default=5 * MARGIN_STEPS), price


def by_brute_force(evaluator, catalog, request):
    """The best value over all combinations, None where none will do."""
    base = {key: fields for key, fields in request.build.items() if key != "parts"}
    sets = [parts for parts in product(*(catalog.slots[slot] for slot in request.slots)) if not misfits(parts)]
    outcomes = judge_many(evaluator, [evaluator.reader.read(expanded(base, list(parts))) for parts in sets], request.checks)
    good = [value(request, parts, one) for parts, one in zip(sets, outcomes) if SEVERITY[one.verdict] <= SEVERITY[request.verdict] and (request.budget is None or sum(part.price for part in parts) <= request.budget)]
    return min(good, default=None)


def test_two_hundred_problems(real_rules, whole, dependence):
    source = random.Random(20)
    solved = {"cheapest": 0, "widest_margin": 0, "fewest_changes": 0, "none": 0}
    for number in range(PROBLEMS):
        catalog, request = problem(source, whole)
        best = by_brute_force(real_rules, catalog, request)
        answer = select(real_rules, catalog, dependence, request)
        assert answer["proved"], number
        if best is None:
            assert answer["sets"] == [] and answer["conflict"]["text"], number
            solved["none"] += 1
            continue
        parts = [catalog.parts[answer["sets"][0]["parts"][slot]] for slot in request.slots]
        base = {key: fields for key, fields in request.build.items() if key != "parts"}
        (outcomes,) = judge_many(real_rules, [real_rules.reader.read(expanded(base, parts))], request.checks)
        assert value(request, parts, outcomes) == best, (number, request)
        assert SEVERITY[outcomes.verdict] <= SEVERITY[request.verdict] and not misfits(parts)
        solved[request.objective] += 1
    # Each objective is put to the test, and so is the empty answer.
    assert all(count >= 15 for count in solved.values()), solved


BUILD = {"target": {"power": "450 hp", "power_at": "crank", "torque": "500 N.m", "torque_at": "crank"}}


def choose(real_rules, whole, dependence, **rest):
    return select(real_rules, whole, dependence, SelectionRequest(**{"build": BUILD, "slots": ("injectors", "clutch"), "checks": CHECKS} | rest))


def test_a_part_out_of_stock_is_offered_only_when_asked_for(real_rules, whole, dependence):
    empty = {part.number for part in whole.parts.values() if part.stock == 0}
    listed = lambda answer: {part["number"] for slot in answer["slots"] for part in slot["parts"]}
    assert not listed(choose(real_rules, whole, dependence)) & empty
    assert listed(choose(real_rules, whole, dependence, in_stock=False)) & empty


def test_parts_that_misfit_what_is_chosen_are_left_out(real_rules, whole, dependence):
    answer = choose(real_rules, whole, dependence, build=BUILD | {"parts": {"gearbox": "GB-680-297"}})
    for one in answer["sets"]:
        assert "twenty_six_spline" in whole.parts[one["parts"]["clutch"]].fits["input_shaft"]


def test_a_field_given_explicitly_wins_over_every_part(real_rules, whole, dependence):
    answer = choose(real_rules, whole, dependence, build=BUILD | {"fuel_system": {"injector_flow": "20 lb/h"}}, slots=("injectors",))
    assert answer["sets"] == [] and answer["conflict"]["checks"] == ["injector-duty"]


def test_over_the_budget_it_says_so(real_rules, whole, dependence):
    answer = choose(real_rules, whole, dependence, budget=100)
    assert answer["sets"] == [] and "budget" in answer["conflict"]["text"]


def test_the_same_answer_twice(real_rules, whole, dependence):
    assert choose(real_rules, whole, dependence, objective="widest_margin") == choose(real_rules, whole, dependence, objective="widest_margin")
