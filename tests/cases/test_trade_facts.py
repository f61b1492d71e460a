"""
A 4.6 L V8, 90.2 x 90.0 mm, boosted to 13 psi through a liquid charge cooler: common practice, as its builders
told it.

It went from 9.8:1 to 8.5:1 with about 11 to 12 cc more volume per cylinder. At 8.5:1, with a coolant loop of
5 gal/min, premium pump fuel and eight 52 lb/h injectors it made 450 hp at the wheels, where about 420 were
expected from 500 at the crank (about 16 % loss). Stock and unboosted it made 267 hp at the wheels. Speed of
peak power: not told, from memory.
"""

import re

import pytest

HORSEPOWER = 745.7
SWEPT = 575.1  # cc, pi/4 x 90.2^2 x 90.0 mm
GASKET = 6.4  # cc, 1 mm thick on a 90.2 mm bore


def build(ratio=8.5, grade="premium_91_aki", **engine):
    return {
        "usage": "street",
        "engine": {
            "cylinders": 8,
            "bore": "90.2 mm",
            "stroke": "90.0 mm",
            "compression_ratio": ratio,
            "peak_power_speed": "6000 rpm",
            "naturally_aspirated_power": "267 hp",
            "naturally_aspirated_power_at": "wheels",
        }
        | engine,
        "induction": {"kind": "supercharged", "boost": "13 psi"},
        "charge_cooling": {"kind": "liquid", "coolant_flow": "5 gal/min"},
        "fuel": {"grade": grade},
        "fuel_system": {"delivery": "port", "injector_count": 8, "injector_flow": "52 lb/h"},
        "driveline": {"loss": "16 %"},
        "target": {"power": "450 hp", "power_at": "wheels"},
    }


def built_up(extra):
    """The same engine told by its volumes: what makes 9.8:1, and so many cc more in the piston crown."""
    chamber = SWEPT / 8.8 - GASKET
    return {
        "engine": {
            "bore": "90.2 mm",
            "stroke": "90.0 mm",
            "chamber_volume": f"{chamber} cc",
            "piston_volume": f"{extra} cc",
            "gasket_bore": "90.2 mm",
            "gasket_thickness": "1 mm",
            "deck_clearance": "0 mm",
        }
    }


def test_eleven_to_twelve_cc_lower_the_compression(work_out):
    assert work_out(built_up(0), "compression_ratio") == pytest.approx(9.8, abs=0.01)
    assert work_out(built_up(11), "compression_ratio") > 8.5 > work_out(built_up(12), "compression_ratio")


@pytest.mark.parametrize("grade", ["premium_91_aki", "premium_93_aki"])
@pytest.mark.parametrize("check", ["injector-duty", "knock-margin"])
def test_what_ran_is_not_failed(check, grade, judged):
    found = judged(check, build(grade=grade))
    assert found["verdict"] in ("pass", "warn"), found["explanation"]


def test_crank_power_is_bracketed(work_out):
    # 450 at the wheels with 16 % lost is 536 at the crank; 500 was expected.
    least, most = (
        work_out(build(), name) / HORSEPOWER for name in ("least_power_from_air", "most_power_from_air")
    )
    assert least < 500 < 450 / 0.84 < most
    assert work_out(build(), "crank_power") / HORSEPOWER == pytest.approx(450 / 0.84, rel=1e-3)


def test_power_expected_from_the_stock_engine(work_out):
    # 500 hp at the crank was expected by its builders; two estimates agree no better than 5 %.
    assert work_out(build(), "power_from_baseline") / HORSEPOWER == pytest.approx(500, rel=0.05)


def test_power_wanted_is_not_failed_for_want_of_air(outcome):
    assert outcome("power-from-airflow", build()) in ("pass", "warn")


def test_it_says_how_much_worse_the_old_compression_would_be(judged, work_out):
    # 1.3 units at 5 octane numbers a unit (Russ, SAE 960497, 1996) and 1.1 to 1.5 octane numbers a degree
    # when boosted (computed): 4.3 to 5.9 degrees later; 1 degree allowed either way.
    low, high = judged("knock-margin", build()), judged("knock-margin", build(ratio=9.8))
    assert low["judged_at"] == high["judged_at"]
    later = high["value"]["value"] - low["value"]["value"]
    assert 4.3 - 1 < later < 5.9 + 1
    for found in (low, high):
        assert re.search(r"about [0-9.]+° (less|more)", found["explanation"])
        assert "of the torque" in found["explanation"]
    at = low["judged_at"]
    assert work_out(build(ratio=9.8), "knock_torque_share", at) < work_out(build(), "knock_torque_share", at)
