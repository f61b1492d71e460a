"""The octane requirement of whole builds against published slopes, a published table and what a fleet was
sold on.
"""

import numpy as np
import pytest

# A mean engine: take plus or minus 3 octane numbers; cars of one model scatter by up to 6 (B. Hamilton,
# Gasoline FAQ, 1996, 6.16).
OWN_TOLERANCE = 3.5


def natural(
    ratio=10.0,
    kilopascals=101.325,
    celsius=35.0,
    ron=95,
    sensitivity=None,
    delivery="port",
    chamber="four_valve",
    speed=2500,
):
    return {
        "usage": "street",
        "engine": {
            "bore": "86 mm",
            "stroke": "86 mm",
            "rod_length": "146 mm",
            "compression_ratio": ratio,
            "chamber_design": chamber,
            "peak_torque_speed": f"{speed} rpm",
            "peak_power_speed": "5500 rpm",
        },
        "induction": {"kind": "natural"},
        "fuel": {"ron": ron} | ({"mon": ron - sensitivity} if sensitivity else {}),
        "fuel_system": {"delivery": delivery},
        "conditions": {"ambient_pressure": f"{kilopascals} kPa", "ambient_temperature": f"{celsius} degC"},
    }


@pytest.fixture
def requirement(work_out):
    return lambda build: work_out(build, "octane_requirement", "peak_torque")


@pytest.fixture
def phasing(work_out):
    return lambda build: float(np.degrees(work_out(build, "knock_limited_phasing", "peak_torque")))


# F. Russ, A Review of the Effect of Engine Operating Conditions on Borderline Knock, SAE 960497, 1996.
def test_intake_pressure(requirement):
    # 3 to 4 octane numbers for 10 kPa.
    assert 3.0 <= requirement(natural(kilopascals=105)) - requirement(natural(kilopascals=95)) <= 4.0


@pytest.mark.parametrize("ratio", [8, 9, 10, 11])
def test_compression(ratio, requirement):
    # 5 octane numbers for one unit; the paper gives no spread, 15 % is allowed.
    assert requirement(natural(ratio + 1)) - requirement(natural(ratio)) == pytest.approx(5.0, rel=0.15)


@pytest.mark.parametrize("ron", [89, 91, 93, 95])
def test_spark(ron, phasing):
    # 1 octane number for one degree; 15 % is allowed.
    assert (phasing(natural(ron=ron)) - phasing(natural(ron=ron + 2))) / 2 == pytest.approx(1.0, rel=0.15)


def boosted(bar, celsius=45.0, ratio=9.0, **rest):
    build = natural(ratio, celsius=25.0) | {
        "induction": {"kind": "turbo", "boost": f"{bar} bar"},
        "charge_cooling": {"charge_temperature": f"{celsius} degC"},
        "fuel": {"ron": 95, "mon": 85},
    }
    return build | rest


@pytest.fixture
def short(work_out):
    """Octane required less the octane the fuel shows in that engine: what borderline knock is about."""
    return lambda build: (
        work_out(build, "octane_requirement", "peak_torque") - work_out(build, "octane_index", "peak_torque")
    )


# 1 octane number for 7 K, with fuels whose octane the charge temperature moves as well; 0.8 to 1.3 is
# allowed. Charge and compression as such engines have them.
@pytest.mark.parametrize("bar", [0, 0.5, 1.0, 2.0])
def test_intake_temperature(bar, short):
    def hotter(more):
        if bar == 0:
            return natural(celsius=35 + more, sensitivity=10)
        return boosted(bar, 45 + more if bar < 2 else 50 + more, 9 if bar < 2 else 8.5)

    assert 0.8 <= short(hotter(7)) - short(hotter(0)) <= 1.3


# 2 octane numbers for one of air/fuel ratio either side of 5 % rich.
def test_mixture(short):
    def mixed(air_fuel_lambda):
        return boosted(1.0, fuel={"ron": 95, "mon": 85, "air_fuel_lambda": air_fuel_lambda})

    knockiest = short(mixed(0.95))
    for air_fuel_lambda in (0.82, 0.88, 1.0, 1.05):
        ratios = 14.6 * abs(air_fuel_lambda - 0.95)
        assert knockiest - short(mixed(air_fuel_lambda)) == pytest.approx(2 * ratios, rel=0.02)
    # Very rich mixtures do not go on for ever: 4 octane numbers at the most (house choice).
    assert short(mixed(0.9)) - short(mixed(0.65)) == pytest.approx(4)


# 1 octane number for 30 kPa of exhaust pressure.
def test_exhaust_pressure(short):
    def pressed(kilopascals):
        return boosted(1.0, exhaust={"pressure_before_turbine": f"{kilopascals} kPa"})

    assert short(pressed(150)) - short(pressed(120)) == pytest.approx(1, rel=1e-6)
    # A blower is spared the pressure ahead of a turbine, and never by more than 4 numbers (house choice).
    blown = boosted(1.0, induction={"kind": "screw", "boost": "1 bar"})
    assert short(boosted(1.0)) - short(blown) == pytest.approx((110 - 20) / 30, rel=1e-6)
    assert short(boosted(2.0)) - short(
        boosted(2.0, induction={"kind": "screw", "boost": "2 bar"})
    ) == pytest.approx(4)


# 1 octane number for 10 K of coolant.
def test_coolant(short):
    def cooled(celsius):
        return boosted(1.0, cooling={"thermostat": f"{celsius} degC"})

    assert short(cooled(91)) - short(cooled(71)) == pytest.approx(2, rel=1e-6)


# A race fuel maker (common practice): 0.25 to 0.35 octane numbers for a gram of water in a kilogram of air.
def test_humidity(short, work_out):
    def damp(share):
        return natural(celsius=30) | {
            "conditions": {
                "ambient_temperature": "30 degC",
                "ambient_pressure": "101.325 kPa",
                "humidity": share,
            }
        }

    grams = 1e3 * (work_out(damp(0.6), "air_moisture") - work_out(damp(0.3), "air_moisture"))
    assert 0.2499 <= (short(damp(0.3)) - short(damp(0.6))) / grams <= 0.35
    # Saturated air of 30 degC holds 27 g/kg (psychrometric tables, from memory).
    assert 1e3 * work_out(damp(1.0), "air_moisture") == pytest.approx(26.5, abs=0.8)


# C. F. Taylor, The Internal Combustion Engine in Theory and Practice, volume 2 (from memory): flame speed
# goes nearly with piston speed, so similar cylinders at one piston speed burn in one crank angle.
def test_similar_cylinders_burn_in_one_angle_at_one_piston_speed(work_out):
    def burn(bore, stroke, speed):
        build = natural(speed=speed)
        build["engine"] |= {
            "bore": f"{bore} mm",
            "stroke": f"{stroke} mm",
            "rod_length": f"{1.7 * stroke} mm",
        }
        return float(np.degrees(work_out(build, "burn_duration", "peak_torque")))

    assert burn(86, 86, 2500) == pytest.approx(50)
    for scale in (0.8, 1.25):
        assert burn(86 * scale, 86 * scale, 2500 / scale) == pytest.approx(50, rel=1e-9)
    # The flame has less far to go in the narrow cylinder of two that hold the same.
    assert burn(73, 89.5, 2500) < burn(79.5, 75.5, 2500)


def test_late_closing_eases_low_speed_only(requirement, work_out):
    # Common practice: long camshafts and late closing ease knock below their speed, not at it.
    def closing(degrees, speed=2500):
        build = natural(13, speed=speed)
        build["engine"]["intake_valve_closing"] = f"{degrees} deg"
        return build

    asked = [requirement(closing(degrees)) for degrees in (50, 60, 80, 100)]
    assert asked[0] == asked[1] > asked[2] > asked[3]
    assert requirement(closing(100, 5500)) == requirement(closing(60, 5500))


# Michigan Technological University, ASME ICEF2017: water/fuel of 0.6 brought 87 AKI to the phasing of 93 AKI
# dry.
def test_water_is_worth_six_numbers_beside_the_dry_verdict(work_out, judged):
    build = boosted(0.8, fuel={"ron": 92, "mon": 82})
    wet = build | {"charge_cooling": build["charge_cooling"] | {"water_methanol_injection": "yes"}}
    better = boosted(0.8, fuel={"ron": 98, "mon": 88})
    dry, flowing, as_better = (
        float(np.degrees(work_out(each, name, "peak_torque")))
        for each, name in (
            (wet, "knock_limited_phasing"),
            (wet, "wet_phasing"),
            (better, "knock_limited_phasing"),
        )
    )
    # One number is one degree (Russ); boosted, the model has 1.1 to 1.5 numbers for a degree.
    assert dry - flowing == pytest.approx(6) and 6 / 1.5 <= dry - as_better <= 6
    assert judged("knock-margin", wet)["value"] == judged("knock-margin", build)["value"]


def test_no_figure_where_no_timing_helps(judged):
    # House choice: where even 60 degrees knocks, no phasing is told; it fails, beyond pump fuel.
    for build in (boosted(2.1, ratio=12), boosted(1.0, celsius=150, ratio=12)):
        found = judged("knock-margin", build)
        assert found["verdict"] == "fail" and "It would be centred" not in found["explanation"]
        assert "It is beyond pump fuel" in found["explanation"]
    held_back = judged("knock-margin", boosted(1.5, fuel={"ron": 91, "mon": 82}))
    assert held_back["verdict"] == "fail" and "beyond pump fuel" not in held_back["explanation"]


@pytest.mark.parametrize("fuel", [{"ron": 95}, {"grade": "e85"}, {"grade": "methanol"}, {"ron": 75}])
@pytest.mark.parametrize("name", ["boost", "boost_at_peak_torque"])
def test_boost_the_model_was_not_held_against_is_not_judged(fuel, name, reply_to):
    # House choice: the engines it was held against go up to 2.2 bar.
    def reply(bar):
        induction = {"kind": "turbo", "boost": "2 bar", name: f"{bar} bar"}
        return reply_to(boosted(2, ratio=8.5, fuel=fuel, induction=induction), checks=("knock-margin",))

    assert [entry["check"] for entry in reply(2.2)["checks"]] == ["knock-margin"]
    beyond = reply(2.21)
    assert beyond["checks"] == [] and not beyond["complete"]
    (left,) = beyond["open"]["needs"]
    assert "can't judge knock or timing" in left["reason"] and "deg" not in str(beyond["open"])


# B. Hamilton, Gasoline FAQ, 1996: octane requirement of a typical carburetted engine without engine
# management.
@pytest.mark.parametrize(
    ("ratio", "octane"), [(5, 72), (6, 81), (7, 87), (8, 92), (9, 96), (10, 100), (11, 104), (12, 108)]
)
def test_octane_against_compression(ratio, octane, requirement):
    found = requirement(natural(ratio, kilopascals=100, celsius=30, chamber="two_valve"))
    assert found == pytest.approx(octane, abs=OWN_TOLERANCE)


# US Department of Energy, Fact of the Week 940, 2016: fleet averages of compression ratio and pump octane
# (AKI). RON above AKI by 2 in the 1930s and 4 in the 1970s: from memory.
@pytest.mark.parametrize(
    ("year", "ratio", "pump", "above"),
    [
        (1930, 4.63, 61.4, 2),
        (1932, 4.87, 62.1, 2),
        (1971, 8.64, 90.1, 4),
        (1972, 8.46, 90.3, 4),
        (1974, 8.34, 89.7, 4),
        (1976, 8.27, 89.6, 4),
    ],
)
def test_what_a_fleet_was_sold_on_does_not_fail(year, ratio, pump, above, judged):
    found = judged("knock-margin", natural(ratio, ron=pump + above, chamber="two_valve"))
    assert found["verdict"] in ("pass", "warn"), found["explanation"]


def test_the_fleet_would_fail_on_the_fuel_of_forty_years_before(outcome):
    # The 1971 average on the fuel of 1930: common practice, nobody could.
    assert outcome("knock-margin", natural(8.64, ron=61.4 + 2, chamber="two_valve")) == "fail"


def test_direct_injection_is_worth_compression(phasing):
    # Common practice: up to 1.5 units more on the same regular fuel.
    port = phasing(natural(10, ron=91.5, sensitivity=9))
    direct = [phasing(natural(ratio, ron=91.5, sensitivity=9, delivery="direct")) for ratio in (10, 11.5)]
    assert direct[0] < port < direct[1]


@pytest.mark.parametrize("aki", [87, 91, 93])
def test_pump_octane_is_the_mean_of_the_two(aki, work_out):
    # By definition AKI is the mean of RON and MON.
    sensitivity = 9 if aki == 87 else 10
    assert work_out(
        {"fuel": {"aki": aki, "ron": aki + sensitivity / 2}}, "octane_sensitivity"
    ) == pytest.approx(sensitivity)
    assert work_out({"fuel": {"aki": aki, "mon": aki - sensitivity / 2}}, "research_octane") == pytest.approx(
        aki + sensitivity / 2
    )
