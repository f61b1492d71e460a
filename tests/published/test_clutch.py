"""Disc clutches of the textbooks, through POST where the rules have the input and through service/physics
where they have not.
"""

from math import pi

import pytest

from service.physics import clutch

# Worn-in facing. The rules take friction from the facing and count two faces a disc, so a published torque is
# compared a face and for a friction of one. name, outer and inner diameter mm, clamp load N, friction, faces,
# torque N m.
WORN_IN = [
    # Purdue University, ME 452, homework 14, problem 1 (a problem of Shigley, chapter 16).
    ("A", 300, 225, 5000, 0.25, 1, 164.063),
    # Bhandari, Design of Machine Elements, Ex. 11.1 (second-hand).
    ("B", 200, 100, 15_707.96, 0.2, 1, 235.619),
    # Bhandari, Ex. 11.3 (second-hand): the inner diameter is the result.
    ("C", 250, 174.166, 10_373.3, 0.25, 2, 550),
    # Bhandari, Ex. 11.6 (second-hand): nine springs of 800 N, safety 2.1420 on 250 N m.
    ("D", 250, 175, 7200, 0.35, 2, 2.1420 * 250),
    # Bhandari, Ex. 11.8 (second-hand): five steel and four bronze plates.
    ("E", 150, 75, 2650.72, 0.1, 8, 119.282),
    # Data of Grieve, mechanical design notes on clutches, 2010; the result computed.
    ("F", 200, 140, 13_194.7, 0.5, 2, 1121.55),
]


@pytest.mark.parametrize(("name", "outer", "inner", "load", "friction", "faces", "torque"), WORN_IN)
def test_worn_in_torque(reply, name, outer, inner, load, friction, faces, torque):
    discs = max(1, faces // 2)
    build = {
        "clutch": {
            "outer_diameter": f"{outer} mm",
            "inner_diameter": f"{inner} mm",
            "clamp_load": f"{load} N",
            "discs": discs,
            "facing": "organic",
        },
        "target": {"torque": "100 N.m", "torque_at": "crank"},
    }
    answer = reply("clutch-torque", build)
    taken = next(one["value"]["value"] for one in answer["assumptions"] if one["input"] == "clutch.facing")
    line = next(
        line for line in answer["checks"][0]["working"] if line["name"] == "new_clutch_torque_capacity"
    )
    assert line["unit"] == "N.m"
    assert line["value"] / (taken * 2 * discs) == pytest.approx(torque / (friction * faces), rel=2e-5)


@pytest.mark.parametrize(
    ("outer", "inner", "load", "pressure"),
    [
        # Purdue ME 452, homework 14, problem 1: 161,681 Pa as new (computed); Bhandari, Ex. 11.2
        # (second-hand): 1 MPa.
        (300, 225, 5000, 161_681),
        (200, 100, 23_561.94, 1e6),
    ],
)
def test_mean_facing_pressure(working, outer, inner, load, pressure):
    build = {
        "clutch": {
            "outer_diameter": f"{outer} mm",
            "inner_diameter": f"{inner} mm",
            "clamp_load": f"{load} N",
            "facing": "organic",
            "facing_area_share": 1,
        }
    }
    line = working("clutch-facing-pressure", build)["facing_pressure"]
    assert (line["unit"], line["value"]) == ("kPa", pytest.approx(pressure / 1e3, rel=5e-6))


def test_highest_pressure_of_a_worn_in_facing():
    # Purdue ME 452, homework 14, problem 1.
    assert clutch.highest_pressure_uniform_wear(5000.0, 0.300, 0.225) == pytest.approx(188_628, abs=1)


@pytest.mark.parametrize(
    ("outer", "inner", "pressure", "load"),
    # Bhandari, Ex. 11.1, 11.3 with its second root (computed), 11.8 (second-hand); data of Grieve, 2010,
    # result computed.
    [
        (0.200, 0.100, 1e6, 15_707.96),
        (0.250, 0.174166, 0.5e6, 10_373.3),
        (0.250, 0.11229, 0.5e6, 12_145),
        (0.150, 0.075, 0.3e6, 2650.72),
        (0.200, 0.140, 1e6, 13_194.7),
    ],
)
def test_clamp_load_for_a_pressure(outer, inner, pressure, load):
    assert clutch.clamp_load_uniform_wear(pressure, outer, inner) == pytest.approx(load, rel=2e-5)


@pytest.mark.parametrize(
    ("outer", "inner", "load", "friction", "faces", "torque"),
    # A new facing. Purdue ME 452 (computed); Bhandari, Ex. 11.2 and 11.6 (second-hand): safety 2.1642 on 250
    # N m.
    [
        (0.300, 0.225, 5000, 0.25, 1, 165.179),
        (0.200, 0.100, 23_561.94, 0.2, 1, 366.519),
        (0.250, 0.175, 7200, 0.35, 2, 2.1642 * 250),
    ],
)
def test_torque_of_a_new_facing(outer, inner, load, friction, faces, torque):
    assert clutch.torque_uniform_pressure(load, friction, outer, inner, faces) == pytest.approx(
        torque, rel=3e-5
    )


# Bhandari, Ex. 11.1, 11.2 and 11.8 (second-hand): power at 750 rpm, kW.
@pytest.mark.parametrize(("torque", "power"), [(235.619, 18.506), (366.519, 28.786), (119.282, 9.368)])
def test_power_and_torque_belong_together(working, torque, power):
    build = {
        "target": {"power": f"{power} kW", "power_at": "crank"},
        "engine": {"peak_power_speed": "750 rpm"},
        "clutch": {"torque_rating": "1000 N.m", "torque_rating_at": "crank"},
    }
    line = working("clutch-torque", build)["torque_at_peak_power"]
    assert line["value"] == pytest.approx(torque, rel=1e-4)
    assert line["value"] * 750 * pi / 30 == pytest.approx(power * 1e3, rel=1e-9)


def test_a_shot_of_nitrous_adds_its_torque(work_out, outcome):
    # By hand: 150 hp at 3,500 rpm is 5,252 x 150 / 3,500 = 225 lb-ft, on top of 360. The clutch that held 450
    # slips.
    build = {
        "target": {"torque": "360 lb-ft", "torque_at": "crank"},
        "engine": {"peak_torque_speed": "3500 rpm"},
        "clutch": {"torque_rating": "450 lb-ft"},
    }
    shot = build | {"induction": {"nitrous_power": "150 hp"}}
    assert work_out(build, "crank_torque") == pytest.approx(360 * 1.3558, rel=1e-4)
    assert work_out(shot, "crank_torque") == pytest.approx((360 + 225.1) * 1.3558, rel=1e-3)
    assert (outcome("clutch-torque", build), outcome("clutch-torque", shot)) == ("pass", "fail")
