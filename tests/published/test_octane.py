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


@pytest.mark.xfail(
    strict=True,
    raises=AssertionError,
    reason="model: only 0.65 of the manifold temperature reaches the charge at intake closing, so 7 K "
    "ask for 0.63 octane numbers, not 1",
)
def test_intake_temperature(requirement):
    # 1 octane number for 7 K; 15 % is allowed.
    assert requirement(natural(celsius=42)) - requirement(natural(celsius=35)) == pytest.approx(1.0, rel=0.15)


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
