"""Speed curves are what single runs at each speed give; what cannot be worked out is null or says what it
needs.
"""

from math import isnan

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from service.errors import SpecError
from service.evaluation.judging.combination import combined
from service.evaluation.planning.plan import make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.reporting.brevity import words_in
from service.evaluation.running.run import run_plan
from service.evaluation.speed_curves import COLUMNS, POINT, SpeedRange, speed_curves
from service.rulebook.names import at_point

numpy_remarks = pytest.mark.filterwarnings("ignore::RuntimeWarning")
UNSHRUNK = [Phase.explicit, Phase.generate]
RPM = np.pi / 30

BUILD = {
    "usage": "street",
    "engine": {
        "cylinders": 8,
        "bore": "92.2 mm",
        "stroke": "94 mm",
        "rod_length": "155 mm",
        "compression_ratio": 8.8,
        "chamber_design": "four_valve",
        "volumetric_efficiency": 0.95,
        "peak_torque_speed": "3500 rpm",
        "peak_power_speed": "6000 rpm",
        "redline": "6500 rpm",
    },
    "induction": {"kind": "screw", "boost": "12 psi"},
    "charge_cooling": {"kind": "liquid", "charge_temperature": "55 degC"},
    "fuel": {"ron": 96, "mon": 86, "brake_specific_consumption": "0.60 lb/hp/h"},
    "fuel_system": {
        "delivery": "port",
        "injector_count": 8,
        "injector_flow": "60 lb/h",
        "injector_rated_fluid": "petrol",
        "rail_pressure": "43.5 psi",
        "injector_rated_pressure": "43.5 psi",
        "boost_referenced": "yes",
    },
    "conditions": {"ambient_pressure": "14.7 psi"},
}


def kind(**induction):
    return BUILD | {"induction": BUILD["induction"] | induction}


def one_by_one(evaluator, build, speed_range):
    """Each column of the answer worked out by a run over floats at each speed, in SI; None where
    it failed.
    """
    known = evaluator.reader.read(build)
    graph = evaluator.rulebook.graph
    speed = at_point("speed", POINT)
    columns: dict = {name: [] for name in COLUMNS}
    for value in np.linspace(speed_range.low, speed_range.high, speed_range.count):
        known.numbers[speed] = float(value)
        resolution = Resolution(evaluator.rulebook, known)
        names = [at_point(name, POINT) for name in COLUMNS]
        # A single name a plan: nothing is shared with the run under test but the rules.
        for name, column in zip(names, columns.values(), strict=True):
            if resolution.known(name):
                plan = make_plan(resolution, ("-",), (name,))
                values, failed = run_plan(plan, known, graph.slots).figures
                column.append(None if graph.slots[name] in failed else values[graph.slots[name]])
    return columns


def assert_same(evaluator, build, speed_range):
    answer = speed_curves(evaluator, build, speed_range, "metric")
    got = {column["quantity"]: column["values"] for column in answer["columns"]}
    expected = one_by_one(evaluator, build, speed_range)
    assert [name for name, values in expected.items() if values] == [name for name in got if name != "speed"]
    for name, values in expected.items():
        if values:
            shower = evaluator.writer.shower_of(at_point(name, POINT), "metric")
            shown = [np.nan if value is None else (value - shower.offset) / shower.factor for value in values]
            # The answer is written to ten significant digits.
            assert [np.nan if value is None else value for value in got[name]] == pytest.approx(
                shown, rel=6e-10, abs=0, nan_ok=True
            ), name
    return answer


@pytest.mark.parametrize(
    "build",
    [
        BUILD,
        kind(kind="centrifugal"),
        kind(kind="turbo"),
        kind(kind="turbo", full_boost_speed="2800 rpm"),
        kind(kind="roots"),
        BUILD | {"induction": {"kind": "natural"}},
    ],
    ids=["screw", "centrifugal", "turbo", "turbo, full boost known", "roots", "natural"],
)
def test_as_single_runs(both, build):
    for evaluator in both:
        assert_same(evaluator, build, SpeedRange(1000 * RPM, 6500 * RPM, 12))


@pytest.mark.slow
@numpy_remarks
@given(data=st.data())
@settings(max_examples=25, phases=UNSHRUNK)
def test_as_single_runs_of_random_builds(both, builds, data):
    build = data.draw(builds)
    for evaluator in both:
        try:
            assert_same(evaluator, build, SpeedRange(150.0, 650.0, 3))
        except SpecError:
            return


@pytest.fixture
def curves(real_rules):
    """The columns of an answer by quantity."""
    return lambda build, *ends, units="metric": {
        column["quantity"]: column["values"]
        for column in speed_curves(real_rules, build, SpeedRange(*ends), units)["columns"]
    }


def test_at_the_speeds_of_the_operating_points(curves, work_out):
    # Compiled apart for each point, the same rule: peak torque and peak power lie among the speeds.
    columns_of_build = curves(BUILD, 3500 * RPM, 6000 * RPM, 2)
    for position, point in enumerate(("peak_torque", "peak_power")):
        assert columns_of_build["air_flow"][position] / 3600 == pytest.approx(
            work_out(BUILD, "air_flow", point), rel=1e-9
        )
        assert np.radians(columns_of_build["knock_limited_phasing"][position]) == pytest.approx(
            work_out(BUILD, "knock_limited_phasing", point), rel=1e-9
        )
        assert columns_of_build["manifold_pressure"][position] * 1e3 == pytest.approx(
            work_out(BUILD, "manifold_pressure", point), rel=1e-9
        )


def test_worked_by_hand(curves):
    # 5.02 L at a volumetric efficiency of 0.95, 12 psi and 55 degC take 3,702 lb/h at 6,000 rpm, which carry
    # 588 hp at 6.3 lb/hp/h and at 8.8:1 0.9927 of that (1 - r^-0.3 over that of 9:1), 583 hp. The blower
    # takes 0.4665 kg/s over 84.5 K (1.884 to 1 at 0.70) at 0.95, 55.9 hp.
    columns_of_build = curves(BUILD, 3000 * RPM, 6000 * RPM, 2, units="us")
    assert columns_of_build["speed"] == pytest.approx([3000, 6000])
    assert columns_of_build["air_flow"] == pytest.approx([3702 / 2, 3702], rel=5e-3)
    # What knock costs is taken off although it rests on assumptions.
    low, high = (percent / 100 for percent in columns_of_build["knock_torque_share"])
    assert 0.5 < low < high < 0.99
    assert columns_of_build["attainable_power"] == pytest.approx(
        [583 / 2 * low - 28, 583 * high - 55.9], rel=1e-2
    )
    # Torque by definition: 5,252 lb-ft for each hp and rpm; fuel at 0.60 lb/hp/h over eight injectors of 60
    # lb/h.
    assert columns_of_build["attainable_torque"] == pytest.approx(
        [
            5252 * power / speed
            for power, speed in zip(
                columns_of_build["attainable_power"], columns_of_build["speed"], strict=True
            )
        ],
        rel=1e-4,
    )
    assert columns_of_build["fuel_flow"] == pytest.approx(
        [0.60 * power for power in columns_of_build["attainable_power"]], rel=1e-9
    )
    assert columns_of_build["injectors_open"] == pytest.approx(
        [100 * flow / 480 for flow in columns_of_build["fuel_flow"]], rel=1e-9
    )


@pytest.mark.parametrize(
    ("induction", "expected"),
    # Boost of 12 psi: held by a screw blower; with the square of speed to peak power by a centrifugal one
    # (Handbook of Turbomachinery, second-hand), to full boost by a turbo (house choice).
    [
        ({"kind": "screw"}, [12, 12, 12]),
        ({"kind": "centrifugal"}, [3, 12, 12]),
        ({"kind": "turbo", "full_boost_speed": "4000 rpm"}, [6.75, 12, 12]),
    ],
)
def test_boost_by_speed(curves, induction, expected):
    columns_of_build = curves(kind(**induction), 3000 * RPM, 9000 * RPM, 3, units="us")
    assert columns_of_build["boost"] == pytest.approx(expected, rel=1e-9)


def test_without_boost(curves):
    assert curves(BUILD | {"induction": {"kind": "natural"}}, 3000 * RPM, 6000 * RPM, 3)["boost"] == [0, 0, 0]


def test_null_where_it_cannot_be_worked_out(real_rules):
    # A pump curve that ends below the pressure needed says nothing of the flow there.
    short = [{"pressure": "0 bar", "flow": "400 L/h"}, {"pressure": "2 bar", "flow": "350 L/h"}]
    fuel_system = BUILD["fuel_system"] | {
        "pump_curve": short,
        "pump_count": 1,
        "pump_voltage": "13.5 V",
        "pump_rated_voltage": "13.5 V",
    }
    answer = assert_same(
        real_rules, BUILD | {"fuel_system": fuel_system}, SpeedRange(2000 * RPM, 6000 * RPM, 3)
    )
    columns_of_build = {column["quantity"]: column["values"] for column in answer["columns"]}
    assert columns_of_build["pump_share"] == [None, None, None]
    assert not any(value is None or isnan(value) for value in columns_of_build["attainable_power"])


def test_what_is_missing_says_what_it_needs(real_rules):
    build = {"induction": {"kind": "screw", "boost": "12 psi"}, "engine": {"redline": "6500 rpm"}}
    answer = speed_curves(real_rules, build, SpeedRange(), "metric")
    missing = {entry["quantity"]: entry["needs"] for entry in answer["not_worked_out"]}
    columns = {column["quantity"] for column in answer["columns"]}
    assert {"boost", "manifold_pressure"} <= columns
    assert columns.isdisjoint(missing) and columns | set(missing) == {"speed", *COLUMNS}
    for needs in missing.values():
        assert needs and all(path in real_rules.rulebook.inputs for group in needs for path in group)
    assert any("engine.compression_ratio" in group for group in missing["knock_limited_phasing"])
    assert any("engine.displacement" in group for group in missing["air_flow"])
    # With what it asked for it is worked out.
    answer = speed_curves(
        real_rules, build | {"engine": {"redline": "6500 rpm", "displacement": "5 L"}}, SpeedRange(), "metric"
    )
    assert "air_flow" in {column["quantity"] for column in answer["columns"]}


@pytest.mark.parametrize(
    ("engine", "speed_range", "low", "high"),
    # From 1,500 rpm, or half of a low redline, to the redline, or else to the speed of peak power.
    [
        ({"redline": "6500 rpm", "peak_power_speed": "6000 rpm"}, SpeedRange(), 1500, 6500),
        ({"peak_power_speed": "6000 rpm"}, SpeedRange(), 1500, 6000),
        ({"redline": "2400 rpm"}, SpeedRange(), 1200, 2400),
        ({"redline": "6500 rpm"}, SpeedRange(low=3000 * RPM), 3000, 6500),
        ({}, SpeedRange(high=5000 * RPM), 1500, 5000),
        ({}, SpeedRange(2000 * RPM, 5000 * RPM, 4), 2000, 5000),
    ],
)
def test_range(real_rules, engine, speed_range, low, high):
    speeds = speed_curves(real_rules, {"engine": engine}, speed_range, "metric")["columns"][0]["values"]
    assert len(speeds) == speed_range.count
    assert (speeds[0], speeds[-1]) == pytest.approx((low, high))
    assert np.diff(speeds) == pytest.approx((high - low) / (speed_range.count - 1))


def test_assumptions_are_named(real_rules):
    build = BUILD | {
        "engine": {word: value for word, value in BUILD["engine"].items() if word != "volumetric_efficiency"}
    }
    named = {
        entry["input"] for entry in speed_curves(real_rules, build, SpeedRange(), "metric")["assumptions"]
    }
    assert "engine.volumetric_efficiency" in named
    assert "engine.volumetric_efficiency" not in {
        entry["input"] for entry in speed_curves(real_rules, BUILD, SpeedRange(), "metric")["assumptions"]
    }


# ---------------------------------------------------------------- ranges and words


def ends_one_by_one(evaluator, build, name, speed):
    """Of one quantity at one speed: its value, and the values with each assumption at its ends, each by a
    run over floats of its own.
    """
    known = evaluator.reader.read(build).with_numbers({at_point("speed", POINT): speed})
    slots, point = evaluator.rulebook.graph.slots, at_point(name, POINT)
    resolution = Resolution(evaluator.rulebook, known)
    plan = make_plan(resolution, ("-",), (point,))

    def value(assumed):
        return run_plan(plan, known.with_numbers(assumed), slots).figures.values[slots[point]]

    behind = [resolution.leans[id] for id in sorted(resolution.lean(point))]
    ends = [
        tuple(value({f"assumed__{lean.id}": end}) for end in (lean.row.low, lean.row.high))
        for lean in behind
        if lean.row
    ]
    return value({}), ends


@pytest.mark.parametrize("name", ["attainable_power", "attainable_torque"])
def test_ranges_are_those_of_single_runs(real_rules, name):
    speeds = SpeedRange(2000 * RPM, 6000 * RPM, 3)
    answer = speed_curves(real_rules, BUILD, speeds, "metric")
    column = next(column for column in answer["columns"] if column["quantity"] == name)
    shower = real_rules.writer.shower_of(at_point(name, POINT), "metric")
    for position, speed in enumerate(np.linspace(speeds.low, speeds.high, speeds.count)):
        value, ends = ends_one_by_one(real_rules, BUILD, name, float(speed))
        assert ends
        low, high, *_ = combined(value, ends)
        assert column["low"][position] == pytest.approx(shower.number(low), rel=1e-9)
        assert column["high"][position] == pytest.approx(shower.number(high), rel=1e-9)
        assert column["low"][position] < column["values"][position] < column["high"][position]


def test_a_tolerance_widens_the_range(real_rules):
    def width(boost):
        build = kind(boost=boost)
        columns = speed_curves(real_rules, build, SpeedRange(3000 * RPM, 6000 * RPM, 2), "us")["columns"]
        power = next(column for column in columns if column["quantity"] == "attainable_power")
        return power["high"][1] - power["low"][1]

    assert width("12 psi ±1") > width("12 psi")


def test_the_headline_tells_both_peaks_where_the_customer_says(real_rules):
    """The power at 6,000 rpm and the torque at 3,500 rpm, as the columns have them."""
    answer = speed_curves(real_rules, BUILD, SpeedRange(3500 * RPM, 6000 * RPM, 2), "us")
    told = {column["quantity"]: column["values"] for column in answer["columns"]}
    power, torque = told["attainable_power"][1], told["attainable_torque"][0]
    assert answer["headline"].startswith(
        f"It should make about {power:.0f} hp at 6,000 rpm and {torque:.0f} lb-ft at 3,500 rpm."
    )
    assert "It could be " in answer["headline"] and words_in(answer["headline"]) <= 25


def test_without_power_the_headline_says_what_it_needs(real_rules):
    answer = speed_curves(real_rules, {"engine": {"redline": "6500 rpm"}}, SpeedRange(), "us")
    assert answer["headline"].startswith("I can't say what it makes yet: it needs the ")
    assert answer["questions"][0]["input"] in {"induction.kind", "engine.displacement"}
    assert all(entry["text"].startswith("It needs the ") for entry in answer["not_worked_out"])


def test_of_what_is_not_modelled_nothing_is_promised(real_rules):
    build = BUILD | {"engine": BUILD["engine"] | {"type": "diesel"}}
    answer = speed_curves(real_rules, build, SpeedRange(), "us")
    assert "diesel" in answer["headline"] and "should make" not in answer["headline"]
    assert answer["scope"]
