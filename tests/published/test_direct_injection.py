"""Direct injection: the tank pump, the high-pressure pump, the class of the hose."""

import pytest

POUNDS_AN_HOUR = 0.45359237 / 3600


def direct(**fuel_system):
    return {
        "fuel": {"grade": "premium_95_ron", "brake_specific_consumption": "0.50 lb/hp/h"},
        "fuel_system": {"delivery": "direct"} | fuel_system,
        "target": {"power": "200 hp", "power_at": "crank"},
    }


# By definition: 200 hp at 0.50 lb/hp/h take 100 lb/h, and a pump that gives less cannot hold its rail.
@pytest.mark.parametrize(("pounds", "verdict"), [(121, "pass"), (119, "warn"), (101, "warn"), (99, "fail")])
def test_high_pressure_pump(pounds, verdict, outcome):
    assert outcome("high-pressure-pump", direct(high_pressure_pump_flow=f"{pounds} lb/h")) == verdict


def test_the_tank_pump_never_sees_the_rail(work_out):
    # Common practice: 4 to 6 bar ahead of the high-pressure pump, at whatever pressure the rail is.
    low, high = (
        work_out(direct(pump_flow="120 L/h", rail_pressure=rail), "tank_pump_rail") / 1e5
        for rail in ("100 bar", "350 bar")
    )
    assert low == high and 4 <= low <= 6
    assert work_out(direct(lift_pressure="4.2 bar"), "tank_pump_rail") == pytest.approx(4.2e5)


def test_fuel_of_direct_injection(work_out):
    # Common practice: 0.45 to 0.55 lb/hp/h for a boosted engine at lambda 0.9 to 1.0.
    build = {"induction": {"kind": "turbo"}, "fuel_system": {"delivery": "direct"}}
    consumption = work_out(build, "fuel_consumption") * 745.7 / POUNDS_AN_HOUR
    assert 0.45 <= consumption <= 0.55


# SAE J30 JUN1998, scope: 30R6, 30R7 and 30R8 are low-pressure hose, 30R9 is for fuel injection, 30R10 is
# low-pressure hose for the tank, 30R12 a feed and return hose.
@pytest.mark.parametrize(
    ("hose", "verdict"),
    [("r6", "fail"), ("r7", "fail"), ("r8", "fail"), ("r9", "pass"), ("r10", "fail"), ("30R12", "pass")],
)
def test_hose_class(hose, verdict, outcome):
    assert (
        outcome("fuel-hose-pressure", {"fuel_system": {"delivery": "port", "fuel_hose_class": hose}})
        == verdict
    )
    assert (
        outcome("fuel-hose-pressure", {"fuel_system": {"delivery": "carburettor", "fuel_hose_class": hose}})
        == "not_applicable"
    )
