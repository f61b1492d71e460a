"""The best sets of parts against every combination, each evaluated one by one as a client would send it."""

import random
from collections import Counter
from dataclasses import replace
from itertools import product
from math import floor, inf

import pytest
from hypothesis import settings

from service.advice import box_finder
from service.advice.block_verdicts import MARGIN_STEPS, MOST_MARGIN
from service.advice.selection import MOST_SETS, select
from service.advice.selection_request import SelectionRequest
from service.catalog.catalog import Catalog, misfits
from service.catalog.expand import expanded
from service.catalog.folder import read_folder
from service.errors import SpecError
from service.evaluation.judging.judged_run import judge_run
from service.evaluation.request import Request
from tests.support.grown_catalog import grown
from tests.support.places import CATALOG

# In the suite, and in a thorough profile (`--hypothesis-profile=thorough`).
PROBLEMS, MORE_PROBLEMS = 120, 300
CHECKS = (
    "injector-duty",
    "fuel-pump-flow",
    "clutch-torque",
    "gearbox-torque",
    "half-shaft-torque",
    "manifold-pressure-range",
    "blower-speed",
    "flywheel-stress",
    "knock-margin",
)
SLOTS = (
    "injectors",
    "fuel_pump",
    "clutch",
    "gearbox",
    "half_shafts",
    "manifold_pressure_sensor",
    "blower",
    "blower_pulley",
    "flywheel",
    "short_block",
)
SEVERITY = {"not_checked": 0, "pass": 0, "warn": 1, "fail": 2}


@pytest.fixture(scope="module")
def whole(real_rules):
    return read_folder(CATALOG, real_rules.reader)


@pytest.fixture(scope="module")
def choose(real_rules):
    return lambda catalog, request: select(real_rules, catalog, request)


def problem(seed, whole):
    """A few parts of a few slots, some of them out of stock, a build with some parts chosen already, and what
    is wanted.
    """
    source = random.Random(seed)
    slots = source.sample(SLOTS, source.randint(2, 4))
    kept = {
        slot: source.sample([part for part in whole.slots[slot] if part.stock], source.randint(2, 4))
        for slot in slots
    }
    gone = [part for slot in slots for part in whole.slots[slot] if part.stock == 0]
    closed = [slot for slot in SLOTS if slot not in slots]
    fixed = [source.choice(whole.slots[slot]) for slot in source.sample(closed, source.randint(0, 2))]
    power = source.randrange(200, 620, 10)
    build = {
        "usage": source.choice(["street", "track", "drag"]),
        "engine": {
            "cylinders": 8,
            "displacement": "5.0 L",
            "redline": "6500 rpm",
            "peak_power_speed": "6000 rpm",
        },
        "induction": {
            "kind": "screw",
            "boost": f"{source.randrange(3, 16)} psi",
            "crank_pulley_diameter": "190 mm",
        },
        "fuel": {"ron": source.choice([95, 98, 100])},
        "fuel_system": {"rail_pressure": "43.5 psi", "boost_referenced": "yes"},
        "driveline": {"layout": "rear", "final_drive_ratio": 3.5, "tyre_radius": "330 mm"},
        "vehicle": {"mass": "1600 kg"},
        "target": {
            "power": f"{power} hp",
            "power_at": "crank",
            "torque": f"{power * 1.25:.0f} N.m",
            "torque_at": "crank",
        },
        "parts": {part.slot: part.number for part in fixed},
    }
    objective = source.choice(["cheapest", "widest_margin", "fewest_changes"])
    if objective == "fewest_changes":
        build["parts"] |= {
            slot: source.choice([*kept[slot], *(part for part in gone if part.slot == slot)]).number
            for slot in slots
            if source.random() < 0.7
        }
    prices = [[part.price for part in parts] for parts in kept.values()]
    budget = source.choice(
        [None, None, source.randint(sum(map(min, prices)) * 9 // 10, sum(map(max, prices)))]
    )
    parts = [*fixed, *gone, *(part for parts in kept.values() for part in parts)]
    return Catalog("test", "EUR", {part.number: part for part in parts}), SelectionRequest(
        build, tuple(slots), objective, source.choice(["pass", "warn"]), budget, CHECKS
    )


class BruteForce:
    """Every set in stock that goes together, within the budget: its evaluation, and what the objective
    counts, the smaller the better.
    """

    def __init__(self, evaluator, catalog, request):
        self.evaluator, self.request = evaluator, request
        named = request.build["parts"]
        self.fixed = [catalog.parts[number] for slot, number in named.items() if slot not in request.slots]
        self.current = {slot: number for slot, number in named.items() if slot in request.slots}
        in_stock = [
            [part for part in catalog.parts.values() if part.slot == slot and part.stock]
            for slot in request.slots
        ]
        self.sets, self.over_budget = {}, 0
        for parts in product(*in_stock):
            if misfits([*self.fixed, *parts]):
                continue
            if request.budget is not None and sum(part.price for part in parts) > request.budget:
                self.over_budget += 1
                continue
            build = expanded(request.build, [*self.fixed, *parts])
            self.sets[tuple(part.number for part in parts)] = (
                parts,
                build,
                evaluator.evaluate(Request(build, checks=CHECKS, include=())),
            )
        self.good = {
            numbers: self.value(parts, build)
            for numbers, (parts, build, reply) in self.sets.items()
            if self.allows(reply["verdict"])
        }

    def allows(self, verdict):
        return SEVERITY[verdict] <= SEVERITY[self.request.allow]

    def broken(self, reply):
        return {entry["check"] for entry in reply["checks"] if not self.allows(entry["verdict"])}

    def margins(self, build):
        """Of every check judged, before a reply rounds it; a limit of zero has no share and counts as none
        left.
        """
        known = self.evaluator.reader.read(build)
        judged = judge_run(self.evaluator.run(known, CHECKS)).judged
        return {check.id: check.judgement.margin for check in judged}

    def value(self, parts, build):
        price = sum(part.price for part in parts)
        if self.request.objective == "cheapest":
            return price, 0
        if self.request.objective == "fewest_changes":
            return sum(self.current.get(part.slot, part.number) != part.number for part in parts), price
        least = min((margin or 0.0 for margin in self.margins(build).values()), default=inf)
        return -max(-MARGIN_STEPS, floor(min(least, MOST_MARGIN) * MARGIN_STEPS)), price


def check_sets(number, brute, answer):
    """The sets offered are the best there are, in their order, and say of themselves what an
    evaluation says.
    """
    offered = [tuple(offer["parts"][slot] for slot in brute.request.slots) for offer in answer["sets"]]
    assert len(set(offered)) == len(offered) and all(numbers in brute.good for numbers in offered), number
    assert [brute.good[numbers] for numbers in offered] == sorted(brute.good.values())[: len(offered)], number
    # By the widest margin only sets of that same margin come after the first.
    ties = [
        value
        for value in brute.good.values()
        if brute.request.objective != "widest_margin" or value[0] == min(brute.good.values())[0]
    ]
    assert len(offered) == min(MOST_SETS, len(ties)), number
    for numbers, offer in zip(offered, answer["sets"], strict=True):
        parts, build, reply = brute.sets[numbers]
        assert all(part.stock for part in parts), number
        assert offer["verdict"] == reply["verdict"] and offer["judged"] == len(reply["checks"]), number
        assert set(offer["warns"]) == {
            entry["check"] for entry in reply["checks"] if entry["verdict"] == "warn"
        }, number
        assert offer["price"] * 100 == pytest.approx(sum(part.price for part in parts), abs=1e-6), number
        margins = [margin for margin in brute.margins(build).values() if margin is not None]
        assert offer.get("least_margin", {}).get("margin") == (
            pytest.approx(min(margins), abs=5e-5) if margins else None
        ), number
        if brute.current:
            assert offer["changes"] == [
                part.slot for part in parts if brute.current.get(part.slot) != part.number
            ], number


def check_conflict(number, brute, answer):
    """The conflict named is the least there is: the fewest checks broken, and of equal sets the cheapest."""
    conflict = answer["conflict"]
    if not brute.sets:
        assert conflict["checks"] == [] and "budget" in conflict["text"], number
        return
    nearest = tuple(conflict["nearest"]["parts"][slot] for slot in brute.request.slots)
    counted = {
        numbers: (len(brute.broken(reply)), sum(part.price for part in parts))
        for numbers, (parts, _, reply) in brute.sets.items()
    }
    assert counted[nearest] == min(counted.values()), number
    assert set(conflict["checks"]) == brute.broken(brute.sets[nearest][2]) != set(), number


@pytest.mark.slow
def test_problems_against_every_combination(real_rules, whole, choose, monkeypatch):
    met = Counter()
    for number in range(MORE_PROBLEMS if settings().max_examples > 100 else PROBLEMS):
        # Every other one as where there are too many combinations to judge them all.
        monkeypatch.setattr(box_finder, "FEW_COMBINATIONS", 2_000 * (number % 2))
        catalog, request = problem(number, whole)
        brute = BruteForce(real_rules, catalog, request)
        try:
            answer = choose(catalog, request)
        except SpecError as error:
            assert (
                {fault.code for fault in error.faults} == {"no-candidate"}
                and not brute.sets
                and not brute.over_budget
            ), number
            met["no candidate"] += 1
            continue
        assert answer["proved"] is True, number
        assert ("conflict" in answer) == (answer["sets"] == []) == (not brute.good), number
        if brute.good:
            check_sets(number, brute, answer)
            met[request.objective] += 1
            met["the budget rules sets out"] += brute.over_budget > 0
        else:
            check_conflict(number, brute, answer)
            met["checks in conflict" if brute.sets else "over the budget"] += 1
    # Each objective and each kind of empty answer is put to the test.
    assert len(met) == 7 and min(met.values()) >= 5, met


DUTY = {
    "fuel_system": {"rail_pressure": "43.5 psi", "boost_referenced": "yes"},
    "fuel": {"brake_specific_consumption": "0.55 lb/hp/h"},
    "target": {"power": "500 hp", "power_at": "crank", "torque": "560 N.m", "torque_at": "crank"},
    "parts": {},
}
LARGE = {
    "usage": "street",
    "engine": {"redline": "6500 rpm", "peak_power_speed": "6200 rpm", "peak_torque_speed": "4400 rpm"},
    "induction": {"boost": "9 psi", "crank_pulley_diameter": "190 mm"},
    "fuel": {"grade": "premium_93_aki"},
    "driveline": {"layout": "rear", "final_drive_ratio": 3.55, "tyre_radius": "330 mm"},
    "vehicle": {"mass": "1600 kg"},
    "parts": {},
} | {key: DUTY[key] for key in ("fuel_system", "target")}
FITTING = SelectionRequest(DUTY, ("injectors",), allow="pass", checks=("injector-duty",))


def test_the_cheapest_injectors_by_hand(whole, choose):
    """500 hp x 0.55 lb/hp/h over eight at 85 % duty is 40.4 lb/h each; 39 lb/h at 39.15 psi flows 39 x
    sqrt(43.5 / 39.15) = 41.1 at 43.5 psi, 36 does not reach.
    """
    best, *others = choose(whole, FITTING)["sets"]
    assert (
        best["parts"] == {"injectors": "IN-039-O02"}
        and best["price_text"] == "472.50 EUR"
        and best["verdict"] == "pass"
    )
    assert [offer["price"] for offer in [best, *others]] == sorted(
        offer["price"] for offer in [best, *others]
    )
    assert best["least_margin"] == {
        "check": "injector-duty",
        "margin": pytest.approx(1 - 500 * 0.55 / 8 / 0.85 / (39 * (43.5 / 39.15) ** 0.5), abs=1e-4),
    }


@pytest.mark.slow
@pytest.mark.parametrize("objective", ["cheapest", "widest_margin", "fewest_changes"])
def test_more_parts_never_make_a_best_set_worse(whole, choose, objective):
    """Whatever could be had before still can be had."""
    request = replace(FITTING, build=LARGE, slots=SLOTS, objective=objective, allow="warn", checks=())
    few, many = (choose(catalog, request) for catalog in (whole, grown(whole, 3)))
    assert few["proved"] and many["proved"] and len(many["sets"]) == MOST_SETS
    before, after = few["sets"][0], many["sets"][0]
    if objective == "widest_margin":
        assert after["least_margin"]["margin"] >= before["least_margin"]["margin"]
    else:
        assert after["price"] <= before["price"]
    assert [len(slot["parts"]) for slot in many["slots"]] == [3 * len(slot["parts"]) for slot in few["slots"]]


def test_the_same_answer_twice_and_in_any_order_of_the_catalog(real_rules, whole, choose):
    turned = Catalog(whole.version, whole.currency, dict(reversed(whole.parts.items())))
    for objective in ("cheapest", "widest_margin", "fewest_changes"):
        request = replace(
            FITTING,
            slots=("clutch", "injectors", "fuel_pump"),
            objective=objective,
            allow="warn",
            checks=CHECKS,
        )
        answer = choose(whole, request)
        assert answer["sets"] and answer == choose(whole, request) == select(real_rules, turned, request)


def test_a_part_out_of_stock_is_never_chosen_unless_asked_for(whole, choose):
    sold_out = Catalog(
        "test", "EUR", whole.parts | {"IN-039-O02": replace(whole.parts["IN-039-O02"], stock=0)}
    )
    answer = choose(sold_out, FITTING)
    assert answer["sets"][0]["parts"] == {"injectors": "IN-042-O03"}
    assert {part["number"] for part in answer["slots"][0]["parts"]} == {
        part.number for part in sold_out.slots["injectors"] if part.stock
    }
    assert choose(sold_out, replace(FITTING, in_stock=False))["sets"][0]["parts"] == {
        "injectors": "IN-039-O02"
    }


def test_a_part_already_chosen_rules_candidates_out(whole, choose):
    """The gearbox has the shaft of 26 splines; cheaper clutches hold the torque as well, and are not even
    listed.
    """
    request = replace(FITTING, slots=("clutch",), checks=("clutch-torque",), allow="warn")
    with_gearbox = replace(request, build=DUTY | {"parts": {"gearbox": "GB-680-297"}})
    fitting = {
        part.number
        for part in whole.slots["clutch"]
        if part.stock and "twenty_six_spline" in part.fits["input_shaft"]
    }
    free, bound = choose(whole, request), choose(whole, with_gearbox)
    assert (
        free["sets"][0]["parts"]["clutch"] not in fitting
        and free["sets"][0]["price"] < bound["sets"][0]["price"]
    )
    assert bound["sets"] and {part["number"] for part in bound["slots"][0]["parts"]} == fitting


def test_a_slot_without_a_fitting_part_is_named(whole, choose):
    ten_splines = Catalog(
        "test",
        "EUR",
        {
            number: part
            for number, part in whole.parts.items()
            if part.slot != "clutch" or part.fits["input_shaft"] == ("ten_spline",)
        },
    )
    with pytest.raises(SpecError) as caught:
        choose(
            ten_splines,
            replace(
                FITTING, build=DUTY | {"parts": {"gearbox": "GB-680-297"}}, slots=("injectors", "clutch")
            ),
        )
    assert [(fault.pointer, fault.code) for fault in caught.value.faults] == [("/slots/1", "no-candidate")]


EXPLICIT = {
    "large enough whichever set": (
        {"injector_flow": "120 lb/h", "injector_rated_pressure": "43.5 psi"},
        "IN-030-O00",
    ),
    "flow said, rated pressure of the part": ({"injector_flow": "39 lb/h"}, "IN-039-O02"),
    "too small whichever set": ({"injector_flow": "20 lb/h"}, None),
}


@pytest.mark.parametrize(("fields", "cheapest"), EXPLICIT.values(), ids=EXPLICIT)
def test_a_field_given_explicitly_wins_over_the_part(whole, choose, fields, cheapest):
    """40.4 lb/h are needed at 43.5 psi: 39 lb/h do where the part is rated at 39.15 psi, and the part's own
    flow counts for nothing.
    """
    answer = choose(whole, replace(FITTING, build=DUTY | {"fuel_system": DUTY["fuel_system"] | fields}))
    assert [offer["parts"]["injectors"] for offer in answer["sets"][:1]] == ([cheapest] if cheapest else [])
    assert answer.get("conflict", {}).get("checks", []) == ([] if cheapest else ["injector-duty"])


def test_over_the_budget_the_empty_answer_says_so(whole, choose):
    assert choose(whole, replace(FITTING, budget=47250))["sets"][0]["price"] == 472.5
    conflict = choose(whole, replace(FITTING, budget=40499))["conflict"]
    assert conflict["checks"] == [] and "budget" in conflict["text"]
