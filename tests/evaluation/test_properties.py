"""What must hold of any build: harder is never better, scale laws, and units change nothing."""

from copy import deepcopy

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

pytestmark = pytest.mark.slow

PSI, POUND, INCH = 6894.757293168361, 0.45359237, 0.0254  # Pa, kg, m, by definition
SEVERITY = ["pass", "warn", "fail"]
FEW = settings(max_examples=40)

BUILD = {
    "usage": "street",
    "engine": {
        "cylinders": 8,
        "bore": "92.2 mm",
        "stroke": "94 mm",
        "rod_length": "155 mm",
        "compression_ratio": 9.0,
        "chamber_design": "four_valve",
        "peak_torque_speed": "3500 rpm",
        "peak_power_speed": "6000 rpm",
    },
    "induction": {"kind": "screw", "boost": "60 kPa", "full_boost_speed": "3000 rpm"},
    "charge_cooling": {"kind": "liquid", "charge_temperature": "50 degC"},
    "fuel": {"ron": 96, "mon": 86},
    "fuel_system": {
        "delivery": "port",
        "injector_count": 8,
        "injector_flow": "500 cc/min",
        "injector_rated_fluid": "petrol",
        "injector_rated_pressure": "3 bar",
        "rail_pressure": "3 bar",
        "boost_referenced": "yes",
        "pump_flow": "340 L/h",
        "pump_count": 1,
        "pump_rated_pressure": "3 bar",
        "pump_voltage": "13 V",
        "pump_rated_voltage": "13.5 V",
        "filter_pressure_drop": "10 kPa",
    },
    "clutch": {
        "clamp_load": "12000 N",
        "outer_diameter": "280 mm",
        "inner_diameter": "180 mm",
        "facing": "organic",
        "discs": 1,
    },
    "sensors": {"manifold_pressure_range": "2.5 bar"},
    "target": {"power": "350 kW", "power_at": "crank"},
}


def changed(**groups):
    build = deepcopy(BUILD)
    for group, values in groups.items():
        build.setdefault(group, {}).update(values)
    return build


def knock_case(boost, ratio, celsius, ron):
    return changed(
        induction={"boost": f"{boost!r} kPa"},
        engine={"compression_ratio": ratio},
        charge_cooling={"charge_temperature": f"{celsius!r} degC"},
        fuel={"ron": ron, "mon": ron - 10},
    )


@FEW
@given(
    case=st.tuples(st.floats(0, 160), st.floats(7, 13), st.floats(30, 110), st.floats(85, 112)),
    lever=st.sampled_from([0, 1, 2, 3]),
    step=st.floats(0, 0.25),
)
def test_a_harder_build_never_knocks_less(case, lever, step, judged):
    # More boost, compression or charge temperature, or fewer octane numbers; the sensitivity stays.
    harder = list(case)
    harder[lever] *= 1 - 0.3 * step if lever == 3 else 1 + step
    before, after = judged("knock-margin", knock_case(*case)), judged("knock-margin", knock_case(*harder))
    assert after["value"]["value"] >= before["value"]["value"] - 1e-6
    assert SEVERITY.index(after["verdict"]) >= SEVERITY.index(before["verdict"])


@FEW
@given(
    boost=st.floats(20, 150),
    celsius=st.floats(35, 100),
    point=st.sampled_from(["peak_torque", "peak_power", "full_boost"]),
)
def test_a_hot_day_and_a_poor_tank_are_never_kinder(boost, celsius, point, work_out):
    build = knock_case(boost, 9.0, celsius, 96.0)
    assert work_out(build, "knock_limited_phasing", f"hot_{point}") >= work_out(
        build, "knock_limited_phasing", point
    )


CURVE = [
    {"pressure": f"{bar} bar", "flow": f"{flow} L/h"} for bar, flow in ((0, 400), (3, 340), (5, 270), (9, 90))
]


def pump_flow(work_out, bar, voltage, rated, curve=None):
    """A pump rated at 13.5 V; boost adds nothing to the rail."""
    fuel_system = {
        "rail_pressure": f"{bar!r} bar",
        "pump_voltage": f"{voltage!r} V",
        "pump_rated_pressure": f"{rated!r} bar",
    } | ({"pump_curve": curve} if curve else {})
    return work_out(changed(fuel_system=fuel_system, induction={"boost": "0 kPa"}), "pump_supply")


@FEW
@given(
    rail=st.floats(2, 6.5),
    more=st.floats(0, 1),
    volts=st.floats(11, 13.5),
    fewer=st.floats(0, 3),
    curve=st.sampled_from([CURVE, None]),
    rated=st.floats(2, 6),
)
def test_more_pressure_or_less_voltage_never_gives_more_pump_flow(
    rail, more, volts, fewer, curve, rated, work_out
):
    reference = pump_flow(work_out, rail, volts, rated, curve)
    assert pump_flow(work_out, rail + more, volts, rated, curve) <= reference * (1 + 1e-12)
    assert pump_flow(work_out, rail, volts - fewer, rated, curve) <= reference * (1 + 1e-12)


def test_more_pressure_never_gives_more_flow_above_the_rated_voltage(work_out):
    assert pump_flow(work_out, 4.0, 14.4, 5.0) <= pump_flow(work_out, 3.0, 14.4, 5.0)


@FEW
@given(
    power=st.floats(100, 700),
    count=st.integers(4, 16),
    flow=st.floats(200, 1500),
    factor=st.floats(0.5, 2),
    times=st.integers(2, 3),
)
def test_injector_duty_goes_with_power_and_against_count_and_flow(
    power, count, flow, factor, times, work_out
):
    def duty(kilowatts, number, size):
        return work_out(
            changed(
                target={"power": f"{kilowatts!r} kW"},
                fuel_system={"injector_count": number, "injector_flow": f"{size!r} cc/min"},
            ),
            "injector_duty",
        )

    reference = duty(power, count, flow)
    assert duty(power * factor, count, flow) == pytest.approx(reference * factor, rel=1e-9)
    assert duty(power, count * times, flow) == pytest.approx(reference / times, rel=1e-9)
    assert duty(power, count, flow * factor) == pytest.approx(reference / factor, rel=1e-9)


@FEW
@given(drop=st.floats(1, 8), factor=st.floats(1.1, 4))
def test_injector_flow_goes_with_the_root_of_pressure(drop, factor, work_out):
    def flow(bar):
        return work_out(changed(fuel_system={"rail_pressure": f"{bar!r} bar"}), "injector_flow")

    assert flow(drop * factor) == pytest.approx(flow(drop) * factor**0.5, rel=1e-9)


@FEW
@given(load=st.floats(3000, 20000), factor=st.floats(0.5, 2), discs=st.integers(1, 3))
def test_clutch_margin_goes_with_clamp_load_and_discs(load, factor, discs, work_out):
    def margin(newtons, number):
        return work_out(
            changed(clutch={"clamp_load": f"{newtons!r} N", "discs": number}), "clutch_torque_margin"
        )

    assert margin(load * factor, 1) == pytest.approx(margin(load, 1) * factor, rel=1e-9)
    assert margin(load, discs) == pytest.approx(margin(load, 1) * discs, rel=1e-9)


@FEW
@given(share=st.floats(0, 0.9), more=st.floats(0.01, 0.1))
def test_more_ethanol_takes_more_fuel_and_more_cooling(share, more, work_out):
    def at(ethanol, quantity):
        return work_out(changed(fuel={"ethanol": ethanol, "grade": "e85"}), quantity)

    for quantity in ("fuel_demand", "fuel_density", "heat_taken_by_fuel"):
        assert at(share + more, quantity) > at(share, quantity), quantity
    assert at(share + more, "fuel_stoichiometric_ratio") < at(share, "fuel_stoichiometric_ratio")


@FEW
@given(height=st.floats(-300, 4000), more=st.floats(10, 1500))
def test_altitude_takes_manifold_pressure_and_power(height, more, work_out):
    def at(metres, quantity, point=None):
        return work_out(changed(conditions={"altitude": f"{metres!r} m"}), quantity, point)

    assert at(height + more, "manifold_pressure", "peak_power") < at(
        height, "manifold_pressure", "peak_power"
    )
    assert at(height + more, "power_from_air") < at(height, "power_from_air")
    # The blower has to make the same boost out of thinner air.
    assert at(height + more, "compressor_outlet_temperature", "peak_power") > at(
        height, "compressor_outlet_temperature", "peak_power"
    )


@FEW
@given(length=st.floats(1, 8), factor=st.floats(0.3, 3), flow=st.floats(60, 900))
def test_line_loss_goes_with_length(length, factor, flow, work_out):
    def loss(metres):
        return work_out(
            changed(
                fuel_system={
                    "pump_flow": f"{flow!r} L/h",
                    "supply_line_bore": "8 mm",
                    "supply_line_length": f"{metres!r} m",
                }
            ),
            "supply_line_drop",
        )

    assume(0.5 <= length * factor <= 15)
    assert loss(length * factor) == pytest.approx(loss(length) * factor, rel=1e-9)


@FEW
@given(litres=st.floats(1, 8), speed=st.floats(4000, 8000), factor=st.floats(0.6, 1.2))
def test_air_goes_with_displacement_and_speed(litres, speed, factor, work_out):
    def air(size, rpm):
        build = changed(
            engine={
                "displacement": f"{size!r} L",
                "peak_power_speed": f"{rpm!r} rpm",
                "volumetric_efficiency": 0.95,
            }
        )
        del build["engine"]["bore"], build["engine"]["stroke"]
        return work_out(build, "air_flow", "peak_power")

    assert air(litres * factor, speed) == pytest.approx(air(litres, speed) * factor, rel=1e-9)
    assert air(litres, speed * factor) == pytest.approx(air(litres, speed) * factor, rel=1e-9)


@FEW
@given(
    boost=st.floats(20, 150),
    power=st.floats(150, 600),
    load=st.floats(6000, 16000),
    bore=st.floats(0.08, 0.11),
    kelvin=st.floats(305, 380),
    flow=st.floats(0.003, 0.02),
)
def test_units_of_the_request_change_nothing(boost, power, load, bore, kelvin, flow, reply_to):
    metric = changed(
        induction={"boost": f"{boost!r} kPa"},
        target={"power": f"{power!r} kW"},
        clutch={"clamp_load": f"{load!r} N"},
        engine={"bore": f"{bore * 1000!r} mm"},
        charge_cooling={"charge_temperature": f"{kelvin - 273.15!r} degC"},
        fuel_system={"injector_flow": f"{flow * 3600!r} kg/h"},
    )
    american = changed(
        induction={"boost": f"{boost * 1000 / PSI!r} psi"},
        target={"power": f"{power * 1000 / (550 * 0.3048 * POUND * 9.80665)!r} hp"},
        clutch={"clamp_load": f"{load / (POUND * 9.80665)!r} lbf"},
        engine={"bore": f"{bore / INCH!r} in"},
        charge_cooling={"charge_temperature": f"{kelvin * 1.8 - 459.67!r} degF"},
        fuel_system={"injector_flow": f"{flow * 3600 / POUND!r} lb/h"},
    )
    metric_reply, american_reply = reply_to(metric), reply_to(american)
    assert metric_reply["verdict"] == american_reply["verdict"] and len(metric_reply["checks"]) >= 8
    for entry, american_entry in zip(metric_reply["checks"], american_reply["checks"], strict=True):
        assert entry["check"] == american_entry["check"]
        if "value" in entry:
            assert entry["value"]["value"] == pytest.approx(
                american_entry["value"]["value"], rel=1e-9, abs=1e-9
            ), entry["check"]
        # A verdict may turn within the last digits of a limit.
        if abs(entry.get("margin") or 1) > 1e-3:
            assert entry["verdict"] == american_entry["verdict"], entry["check"]


@FEW
@given(boost=st.floats(20, 150), power=st.floats(150, 600), load=st.floats(6000, 16000))
def test_units_of_the_reply_change_nothing(boost, power, load, reply_to):
    build = changed(
        induction={"boost": f"{boost!r} kPa"},
        target={"power": f"{power!r} kW"},
        clutch={"clamp_load": f"{load!r} N"},
    )
    metric, american = reply_to(build, units="metric"), reply_to(build, units="us")
    stripped = [
        [
            (entry["check"], entry["verdict"], entry.get("margin"), entry.get("judged_at"))
            for entry in reply["checks"]
        ]
        for reply in (metric, american)
    ]
    assert stripped[0] == stripped[1] and metric["verdict"] == american["verdict"]
    assert [entry["check"] for entry in metric["open"]["needs"]] == [
        entry["check"] for entry in american["open"]["needs"]
    ]
