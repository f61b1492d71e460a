"""A build held against its own pulls: what was hidden is found again."""

import numpy
import pytest

from service.dyno.calibration import contradicted, explanations, held_against, narrowed
from service.dyno.pulls import Pulls
from service.dyno.ranges import find_ranges
from service.evaluation.planning.plan import NO_CHECKS, make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.running.columns import run_columns
from tests.support.builds import BUILDS

pytestmark = pytest.mark.slow

NAMES = (
    "crank_power",
    "power_from_air",
    "injector_duty",
    "implied_volumetric_efficiency",
    "implied_fuel_consumption",
)
HORSEPOWER = 745.6998715822702
TRIALS = 300


def without_target(build):
    return {group: fields for group, fields in build.items() if group != "target"}


@pytest.mark.parametrize("name", ["5.0 L V8, screw blower", "1.8 L inline four, turbo"])
def test_a_hidden_filling_lies_in_the_range_nine_times_of_ten(real_rules, name):
    """Everything assumed is drawn at random, the pulls are made from it with half a per cent of scatter, and
    the filling is asked for.
    """
    slots = real_rules.rulebook.graph.slots
    known = real_rules.reader.read(without_target(BUILDS[name]))
    resolution = Resolution(real_rules.rulebook, known)
    plan = make_plan(resolution, NO_CHECKS, ("power_from_air", "drivetrain_loss"))
    source = numpy.random.default_rng(4)
    hidden = {
        f"assumed__{id}": source.uniform(lean.row.low, lean.row.high, TRIALS)
        for id, lean in resolution.leans.items()
        if lean.row and lean.row.low < lean.row.high
    }
    values = run_columns(plan, known, slots, hidden)
    crank = values[slots["power_from_air"]]
    wheels = crank * (1 - numpy.broadcast_to(values[slots["drivetrain_loss"]], crank.shape))
    inside = 0
    for trial in range(TRIALS):
        pulls = Pulls(tuple(wheels[trial] * (1 + 0.005 * source.standard_normal(3))))
        ranges = find_ranges(real_rules, held_against(known, pulls, "wheels"), NAMES)
        low, high = ranges.between("implied_volumetric_efficiency")
        inside += low <= hidden["assumed__volumetric_efficiency"][trial] <= high
    assert inside >= 0.9 * TRIALS


@pytest.fixture
def held(real_rules):
    def against(build, *horsepower, place="crank"):
        known = held_against(
            real_rules.reader.read(build), Pulls(tuple(power * HORSEPOWER for power in horsepower)), place
        )
        return known, find_ranges(real_rules, known, NAMES)

    return against


BUILD = BUILDS["5.0 L V8, screw blower"]


def test_what_was_planned_gives_way_to_what_was_measured(held):
    known, ranges = held(BUILD, 470, 474, 472)
    assert ranges.value("crank_power") == pytest.approx(472 * HORSEPOWER)
    assert "target__power" not in known.numbers and "target.power_at" not in known.choices


def test_wheel_power_goes_through_the_drivetrain_loss(held, real_rules):
    _, ranges = held(BUILD, 400, place="wheels")
    low, high = ranges.between("crank_power")
    # 15 % loss, 10 to 25 %, of a driveline nobody described.
    assert ranges.value("crank_power") / HORSEPOWER == pytest.approx(400 / 0.85)
    assert low / HORSEPOWER == pytest.approx(400 / 0.90) and high / HORSEPOWER == pytest.approx(400 / 0.75)


def test_the_implied_filling_does_not_hang_on_the_assumed_one(held):
    """By hand: power goes with the filling, so the implied one is the measured power times assumed filling
    over calculated power.
    """
    _, ranges = held(BUILD, 450, 450)
    calculated = ranges.value("power_from_air") / HORSEPOWER
    assert ranges.value("implied_volumetric_efficiency") == pytest.approx(0.95 * 450 / calculated)
    assumed = next(mover for mover in ranges.movers if mover.name == "assumed__volumetric_efficiency")
    slot = ranges.slots["implied_volumetric_efficiency"]
    assert all(
        run.values[slot] == pytest.approx(ranges.value("implied_volumetric_efficiency"))
        for run in assumed.runs
    )


def test_scatter_widens_and_more_pulls_narrow(held):
    width = lambda ranges: -numpy.subtract(*ranges.between("crank_power"))
    assert (
        width(held(BUILD, 440, 450, 460)[1])
        > width(held(BUILD, 449, 450, 451)[1])
        > width(held(BUILD, *[449, 450, 451] * 3)[1])
    )
    assert width(held(BUILD, 450)[1]) == 0


def test_an_explanation_moved_there_explains(held, real_rules):
    _known, ranges = held(BUILD, 520, 522)
    explained = explanations(ranges)
    assert explained and explained[0].share <= explained[-1].share <= 1
    names = [explanation.lean.id for explanation in explained]
    assert "volumetric_efficiency" in names or "usual_air_per_power" in names
    slots = real_rules.rulebook.graph.slots
    best = explained[0]
    changed = [best.typical + best.share * (end - best.typical) for end in best.lean.ends]
    assert any(value == pytest.approx(best.needed) for value in changed)
    assert slots["crank_power"] in ranges.slots.values()


def test_a_narrower_filling_is_inside_the_usual_one(held):
    _, ranges = held(BUILD, 500, 502, 501)
    low, high = narrowed(ranges)
    row = ranges.resolution.leans["volumetric_efficiency"].row
    assert row.low <= low < high <= row.high and high - low < row.high - row.low


def test_a_filling_that_was_stated_is_not_narrowed(held):
    stated = BUILD | {"engine": BUILD["engine"] | {"volumetric_efficiency": 0.97}}
    assert narrowed(held(stated, 480, 481)[1]) is None


def test_a_logged_duty_gives_the_consumption(held):
    """By hand: 80 % of eight injectors of 60 lb/h is 384 lb/h; over 600 hp it is 0.64 lb/hp/h, rated and run
    at the same pressure on the same fluid.
    """
    build = BUILD | {
        "fuel_system": {
            "injector_count": 8,
            "injector_flow": "60 lb/h",
            "injector_rated_fluid": "petrol",
            "injector_rated_pressure": "3 bar",
            "rail_pressure": "3 bar",
            "boost_referenced": "yes",
        },
        "measured": {"injector_duty": "80 %"},
    }
    _, ranges = held(build, 600)
    assert ranges.value("implied_fuel_consumption") / (0.45359237 / 3600 / HORSEPOWER) == pytest.approx(0.64)


def test_a_check_that_fails_at_the_power_reached_is_contradicted(held, real_rules):
    fails, passes = contradicted(
        real_rules, held(BUILD | {"clutch": {"torque_rating": "300 N.m"}}, 480, 482)[0]
    )
    assert "clutch-torque" in fails and "injector-duty" in passes


@pytest.mark.parametrize("values", [(), (0.0,), (-1.0, 2.0), (float("nan"),), (float("inf"),)])
def test_figures_that_are_none_are_refused(values):
    with pytest.raises(ValueError):
        Pulls(values)


def test_the_mean_is_known_as_well_as_student_says():
    """scipy's own interval of the same three figures."""
    from scipy import stats

    pulls = Pulls((285.0, 286.1, 285.4))
    low, high = stats.t.interval(0.95, 2, loc=numpy.mean(pulls.values), scale=stats.sem(pulls.values))
    assert pulls.half_width() == pytest.approx((high - low) / 2)
