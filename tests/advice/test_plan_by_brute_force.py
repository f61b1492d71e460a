"""A plan against every set of up to three levers over a few rungs each: none is larger than it must be."""

import random
from itertools import combinations, product

import pytest
from hypothesis import settings

from service.advice.levers import Lever, Move, change_of
from service.advice.plan_search import SEARCHES, find_plan
from service.advice.trial import Trial
from service.advice.workshop import Workshop, worst
from service.errors import SpecError
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.request import Request
from tests.support.builds import BUILDS, with_change
from tests.support.random_builds import random_builds

# The thorough profile looks at more of these, as it draws more examples.
THOROUGH = settings.default.max_examples > 50
PROBLEMS = 200 if THOROUGH else 60
RANDOM_BUILDS = 400 if THOROUGH else 120
# Of each ladder so many rungs are tried.
RUNGS = 6


@pytest.fixture(scope="module")
def workshop(real_rules):
    def make(build, checks=(), units="us"):
        return Workshop(real_rules, real_rules.read(build), Request(build, checks=checks, units=units))

    return make


class BruteForce:
    """Every set of up to so many levers of the checks that are worse than allowed, each over a few rungs of
    its ladder; in the order of the searches, fewest first.
    """

    def __init__(self, shop: Workshop, most: int, rungs: int = RUNGS):
        self.shop, self.most, self.rungs = shop, most, rungs

    def best(self) -> tuple[int, int] | None:
        """The position of the search that finds something, and with how many changes."""
        for position, (gives_up, allowed) in enumerate(SEARCHES):
            if SEVERITY[allowed] < SEVERITY[worst(self.shop.before)]:
                levers = self._levers(gives_up, allowed)
                for count in range(1, self.most + 1):
                    if any(self._will_do(chosen, allowed) for chosen in _sets(levers, count)):
                        return position, count
        return None

    def _levers(self, gives_up: bool, allowed: str) -> list[Lever]:
        over = [check for check, verdict in self.shop.before.items() if SEVERITY[verdict] > SEVERITY[allowed]]
        levers = {
            lever.key: lever
            for check in over
            for lever in self.shop.levers.of(self.shop.rulebook.checks[check])
            if gives_up or lever.ladder.input.effort != "goal"
        }
        return list(levers.values())

    def _will_do(self, levers: tuple[Lever, ...], allowed: str) -> bool:
        names = [lever.ladder.name for lever in levers]
        columns = [[lever.ladder.value(rung) for rung in self._rungs(lever)] for lever in levers]
        shop = self.shop
        changed = {name: column[0] for name, column in zip(names, columns, strict=True)}
        trial = Trial(shop.evaluator, shop.known, shop.request.checks, changed)
        for values in product(*columns):
            changed = dict(zip(names, values, strict=True))
            if SEVERITY[worst(trial.verdicts(changed, until=allowed))] <= SEVERITY[allowed]:
                after = Trial(shop.evaluator, shop.known, shop.request.checks, changed)
                if shop.before.keys().isdisjoint(after.base_lost()):
                    return True
        return False

    def _rungs(self, lever: Lever) -> list[int]:
        first, last = lever.ladder.rungs(lever.way)
        steps = max(self.rungs - 1, 1)
        return list(dict.fromkeys(first + (last - first) * step // steps for step in range(self.rungs)))


def _sets(levers, count):
    chosen = combinations(levers, count)
    return [levers for levers in chosen if len({lever.path for lever in levers}) == count]


def rank(plan) -> tuple[int, int]:
    """A plan as the brute force counts."""
    gives_up = any(move.ladder.input.effort == "goal" for move in plan.moves)
    return SEARCHES.index((gives_up, plan.verdict)), len(plan.moves)


def assert_verified(shop, plan):
    """Put into the build and read anew, it comes to the verdict it says."""
    build = with_change(shop.request.build, change_of(plan.moves))
    known = shop.evaluator.read(build)
    verdicts = Trial(shop.evaluator, known, shop.request.checks, {}).base_verdicts()
    assert worst(verdicts) == plan.verdict
    for move in plan.moves:
        assert within_what_is_sold(move)


def within_what_is_sold(move: Move) -> bool:
    ladder = move.ladder
    usual = ladder.input.usual.get(next(iter(ladder.input.usual), ""))
    inside = ladder.lowest <= move.rung <= ladder.highest
    return inside and (not usual or len(ladder.input.usual) > 1 or usual[0] <= move.value <= usual[1])


SMALL = (
    ("injector-duty", "clutch-torque", "fuel-pump-flow"),
    ("knock-margin", "injector-duty", "manifold-pressure-range"),
    ("knock-margin", "power-from-airflow", "charge-temperature"),
    ("piston-speed", "clutch-torque", "power-from-airflow", "injector-duty"),
)


def small_problem(seed):
    """One of three known builds with some numbers moved, and a few checks."""
    source = random.Random(seed)
    build = source.choice(list(BUILDS.values()))
    change = {
        "engine": {"compression_ratio": source.randrange(80, 120) / 10},
        "induction": {"boost": f"{source.randrange(4, 26)} psi"},
        "fuel_system": {
            "injector_flow": f"{source.choice([30, 36, 42, 48, 60])} lb/h",
            "pump_flow": "190 L/h",
        },
        "clutch": {"torque_rating": f"{source.randrange(250, 700, 10)} N.m"},
        "sensors": {"manifold_pressure_range": source.choice(["2 bar", "2.5 bar", "3 bar"])},
        "target": {"power": f"{source.randrange(200, 650, 10)} hp", "power_at": "crank"},
    }
    return with_change(build, change), source.choice(SMALL)


@pytest.mark.slow
def test_no_larger_than_the_best_by_brute_force(workshop):
    planned = 0
    for seed in range(PROBLEMS):
        build, checks = small_problem(seed)
        shop = workshop(build, checks)
        plan = find_plan(shop)
        best = BruteForce(workshop(build, checks), most=3).best()
        if best:
            assert plan is not None, (seed, best)
            assert rank(plan) <= best, (seed, rank(plan), best, [move.phrase for move in plan.moves])
        if plan:
            planned += 1
            assert_verified(shop, plan)
    assert planned > PROBLEMS // 3


@pytest.mark.slow
def test_what_one_lever_or_a_pair_can_fix_has_a_plan(workshop):
    fixable = planned = 0
    for build in random_builds(RANDOM_BUILDS):
        try:
            shop = workshop(build)
        except SpecError:
            continue
        if worst(shop.before) != "fail":
            continue
        plan = find_plan(shop)
        if plan:
            assert_verified(shop, plan)
        if BruteForce(workshop(build), most=2).best():
            fixable += 1
            planned += plan is not None
    assert fixable >= RANDOM_BUILDS // 10
    assert planned >= 0.9 * fixable, (planned, fixable)
