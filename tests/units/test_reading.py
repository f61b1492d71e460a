"""What a client writes: taken, taken with a note, or refused with what would fit."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.units.choice_reading import read_choice, read_count
from service.units.fault import Fault
from service.units.number_form import NumberForm, Reading
from service.units.reading import read_number
from service.units.units import DIMENSIONS, from_si, to_si


def form(
    label: str, possible: dict[str, tuple[str, str]], usual: dict[str, tuple[str, str]] | None = None, **rest
) -> NumberForm:
    def in_si(ranges):
        return {
            dimension: tuple(to_si(text, dimension) for text in ends) for dimension, ends in ranges.items()
        }

    return NumberForm(label, tuple(possible), in_si(possible), usual=in_si(usual or {}), **rest)


FORMS = {
    "boost": form("Boost", {"pressure": ("-0.5 bar", "7 bar")}, reading="gauge", range="judge_high"),
    "sensor": form("Sensor range", {"pressure": ("0.5 bar", "8 bar")}, reading="absolute"),
    "ambient": form("Air pressure", {"pressure": ("500 mbar", "1100 mbar")}, reading="absolute"),
    "drop": form("Pressure drop", {"pressure": ("0 bar", "10 bar")}, reading="difference"),
    "injector": form(
        "Injector flow",
        {"mass_flow": ("1 lb/h", "1500 lb/h"), "volume_flow": ("10 cc/min", "20000 cc/min")},
        {"mass_flow": ("10 lb/h", "160 lb/h"), "volume_flow": ("100 cc/min", "1700 cc/min")},
    ),
    "counter injector": form(
        "Injector flow",
        {"mass_flow": ("1 lb/h", "1500 lb/h"), "volume_flow": ("10 cc/min", "20000 cc/min")},
        short_for={"lb": "lb/h", "#": "lb/h", "cc": "cc/min"},
    ),
    "counter boost": form(
        "Boost",
        {"pressure": ("-0.5 bar", "7 bar")},
        reading="gauge",
        bare={"bar": (1e4, 3e5), "psi": (0.0, 4e5)},
    ),
    "shot": form("Nitrous", {"power": ("0 kW", "2 MW")}, short_for={"shot": "hp"}),
    "pulley": form("Pulley", {"length": ("20 mm", "400 mm")}),
    "run": form("Distance", {"distance": ("0 km", "2000000 km")}),
    "pump": form(
        "Pump flow",
        {"volume_flow": ("10 L/h", "3000 L/h"), "mass_flow": ("10 kg/h", "2500 kg/h")},
        {"volume_flow": ("60 L/h", "900 L/h")},
    ),
    "power": form("Target power", {"power": ("5 kW", "4 MW")}, has_place=True, range="judge_high"),
    "least_power": form("Least power", {"power": ("5 kW", "4 MW")}, has_place=True, range="judge_low"),
    "rating": form("Block rating", {"power": ("5 kW", "4 MW")}),
    "torque": form("Target torque", {"torque": ("10 N.m", "8000 N.m")}, has_place=True),
    "compression": form("Compression ratio", {"ratio": ("4", "20")}, forms=("to_one",)),
    "ethanol": form("Ethanol", {"ratio": ("0", "1")}, forms=("ethanol_grade",)),
    "octane": form("RON", {"octane": ("60", "130")}, scales=("RON", "AKI")),
    "displacement": form("Displacement", {"volume": ("50 cc", "30 L")}),
    "gap": form("Ring gap", {"length": ("0.1 mm", "3 mm")}),
    "speed": form("Redline", {"rotational_speed": ("500 rpm", "25000 rpm")}),
    "charge": form("Charge temperature", {"temperature": ("230 K", "480 K")}),
    "seat": form("Seat load", {"force": ("50 N", "5 kN")}),
    "mass": form("Mass", {"mass": ("100 kg", "10000 kg")}),
}


TAKEN = [
    # which of the twelve test orders it comes from, or what it shows, form, what was written, dimension, the
    # number in its unit, note, place
    ("order 1", "power", "600 rwhp", "power", 600, "hp", "600 hp at the wheels", "wheels"),
    ("order 1 fixed", "injector", "60 lb/h", "mass_flow", 60, "lb/h", None, None),
    ("order 1 fixed", "pump", "255 L/h", "volume_flow", 255, "L/h", None, None),
    ("order 2", "compression", "8.5:1", "ratio", 8.5, "", "8.5", None),
    ("order 2", "power", "436 bhp", "power", 436, "hp", "436 hp at the crank", "crank"),
    ("order 2", "torque", "360 ft/lbs", "torque", 360, "lb-ft", "360 lb-ft", None),
    ("order 3", "injector", "440 cc/min", "volume_flow", 440, "cc/min", None, None),
    ("order 3", "power", "350 kW", "power", 350, "kW", None, None),
    ("order 4", "sensor", "2 bar", "pressure", 2, "bar", "2 bar read as absolute", None),
    ("order 4 fixed", "sensor", "2 bar abs", "pressure", 2, "bar", None, None),
    ("order 6 fixed", "speed", "7500 rpm", "rotational_speed", 7500, "rpm", None, None),
    ("order 8", "displacement", "1275 cc", "volume", 1275, "cc", None, None),
    ("order 8", "compression", 9.4, "ratio", 9.4, "", None, None),
    ("order 8", "octane", 95, "octane", 95, "", None, None),
    ("order 9", "boost", "7-14 psi", "pressure", 14, "psi", "14 psi, the high end of 7 to 14 psi", None),
    ("order 9", "displacement", "302 ci", "volume", 302, "ci", None, None),
    ("order 10", "power", "371 awhp", "power", 371, "hp", "371 hp at the wheels", "wheels"),
    ("order 10", "torque", "340 awtq", "torque", 340, "lb-ft", "340 lb-ft at the wheels", "wheels"),
    ("order 11", "ambient", "711 mbar", "pressure", 711, "mbar", "711 mbar read as absolute", None),
    ("order 12", "ethanol", "60 %", "ratio", 0.6, "", "60 % = 0.6", None),
    ("order 12 fixed", "ethanol", 0.6, "ratio", 0.6, "", None, None),
    ("order 12", "ethanol", "E60", "ratio", 0.6, "", "E60 = 0.6", None),
    ("object", "boost", {"value": 12, "unit": "psi"}, "pressure", 12, "psi", None, None),
    ("object", "torque", {"value": 490.5, "unit": "Nm"}, "torque", 490.5, "N.m", "490.5 N.m", None),
    ("plain text", "compression", "8.5", "ratio", 8.5, "", None, None),
    ("range", "boost", "7 to 14 psi", "pressure", 14, "psi", "14 psi, the high end of 7 to 14 psi", None),
    ("range", "boost", "14 to 7 psi", "pressure", 14, "psi", "14 psi, the high end of 7 to 14 psi", None),
    ("range", "boost", "7..14 psi", "pressure", 14, "psi", "14 psi, the high end of 7 to 14 psi", None),
    ("range", "boost", "7 – 14 psi", "pressure", 14, "psi", "14 psi, the high end of 7 to 14 psi", None),
    ("range", "boost", "7 psi to 14 psi", "pressure", 14, "psi", "14 psi, the high end of 7 to 14 psi", None),
    (
        "range",
        "boost",
        "0.5 bar - 14 psi",
        "pressure",
        14,
        "psi",
        "14 psi, the high end of 0.5 bar to 14 psi",
        None,
    ),
    (
        "range",
        "boost",
        "-5 to -2 inHg",
        "pressure",
        -2,
        "inHg",
        "-2 inHg, the high end of -5 to -2 inHg",
        None,
    ),
    (
        "range",
        "power",
        "350-400 whp",
        "power",
        400,
        "hp",
        "400 hp at the wheels, the high end of 350 to 400 hp",
        "wheels",
    ),
    ("range", "least_power", "350-400 hp", "power", 350, "hp", "350 hp, the low end of 350 to 400 hp", None),
    ("negative, not a range", "boost", "-0.5 bar", "pressure", -0.5, "bar", None, None),
    ("negative, typographic", "boost", "−0.5 bar", "pressure", -0.5, "bar", None, None),
    ("no space", "boost", "12psi", "pressure", 12, "psi", None, None),
    ("letter case", "boost", " 12  PSI ", "pressure", 12, "psi", None, None),
    ("gauge said", "boost", "14 psi gauge", "pressure", 14, "psi", None, None),
    ("gauge said", "boost", "14 psig", "pressure", 14, "psi", None, None),
    ("absolute said", "sensor", "2.5 bara", "pressure", 2.5, "bar", None, None),
    ("absolute said", "sensor", "2.5 bar (a)", "pressure", 2.5, "bar", None, None),
    ("absolute said", "sensor", "2 kgf/cm2 absolute", "pressure", 2, "kg/cm2", "2 kg/cm2 absolute", None),
    ("a unit that ends in g", "boost", "10 inHg", "pressure", 10, "inHg", None, None),
    ("difference", "drop", "2 psi", "pressure", 2, "psi", None, None),
    ("trade spelling", "boost", "1 kgf/cm2", "pressure", 1, "kg/cm2", "1 kg/cm2", None),
    ("trade spelling", "injector", "42 lb/hr", "mass_flow", 42, "lb/h", "42 lb/h", None),
    ("trade spelling", "pump", "255 lph", "volume_flow", 255, "L/h", "255 L/h", None),
    ("trade spelling", "pump", "80 gph", "volume_flow", 80, "gal/h", "80 gal/h", None),
    ("trade spelling", "torque", "400 ft-lb", "torque", 400, "lb-ft", "400 lb-ft", None),
    ("trade spelling", "displacement", "302 cid", "volume", 302, "ci", "302 ci", None),
    ("trade spelling", "gap", '.024"', "length", 0.024, "in", "0.024 in", None),
    ("trade spelling", "gap", "24 thou", "length", 24, "thou", None, None),
    ("trade spelling", "charge", "45 °C", "temperature", 45, "degC", "45 degC", None),
    ("trade spelling", "charge", "110F", "temperature", 110, "degF", "110 degF", None),
    ("trade spelling", "seat", "90 lb", "force", 90, "lbf", "90 lbf", None),
    ("trade spelling", "speed", "6500 1/min", "rotational_speed", 6500, "rpm", "6500 rpm", None),
    ("at the very end", "boost", "7 bar", "pressure", 7, "bar", None, None),
    ("counter", "counter injector", "42#", "mass_flow", 42, "lb/h", "42 lb/h", None),
    ("counter", "counter injector", "42 lb", "mass_flow", 42, "lb/h", "42 lb/h", None),
    ("counter", "counter injector", "1000cc", "volume_flow", 1000, "cc/min", "1000 cc/min", None),
    ("counter", "counter injector", "1,000 cc", "volume_flow", 1000, "cc/min", "1000 cc/min", None),
    ("counter", "displacement", "1000cc", "volume", 1000, "cc", None, None),
    ("counter", "boost", "10 pounds", "pressure", 10, "psi", "10 psi", None),
    ("counter", "boost", "10#", "pressure", 10, "psi", "10 psi", None),
    ("counter", "boost", "7 to 10 lbs", "pressure", 10, "psi", "10 psi, the high end of 7 to 10 psi", None),
    ("counter", "speed", "11,000 rpm", "rotational_speed", 11000, "rpm", "11000 rpm", None),
    ("counter", "speed", "6.5k rpm", "rotational_speed", 6500, "rpm", "6500 rpm", None),
    ("counter", "speed", "6.5k", "rotational_speed", 6500, "rpm", "6500 rpm", None),
    ("counter", "speed", "7 K", "rotational_speed", 7000, "rpm", "7000 rpm", None),
    ("counter", "run", "30k miles", "distance", 30000, "mi", "30000 mi", None),
    ("counter", "charge", "300 K", "temperature", 300, "K", None, None),
    ("counter", "shot", "150 shot", "power", 150, "hp", "150 hp", None),
    ("counter", "torque", "500 foot pounds", "torque", 500, "lb-ft", "500 lb-ft", None),
    ("counter", "torque", "500 foot-pounds", "torque", 500, "lb-ft", "500 lb-ft", None),
    ("counter", "torque", "500 pound-feet", "torque", 500, "lb-ft", "500 lb-ft", None),
    ("counter", "pulley", "3 1/2 in", "length", 3.5, "in", "3.5 in", None),
    ("counter", "pulley", '3-1/2"', "length", 3.5, "in", "3.5 in", None),
    ("counter", "pulley", "3½ in", "length", 3.5, "in", "3.5 in", None),
    ("counter", "pulley", "7/8 in", "length", 0.875, "in", "0.875 in", None),
    ("counter", "octane", "93 octane", "octane", 93, "", "93", None),
    ("counter", "octane", "93 AKI", "octane", 93, "", "93 AKI", None),
    ("counter", "octane", "ron 98", "octane", 98, "", "98 RON", None),
    ("counter", "power", "600 hp at the wheels", "power", 600, "hp", "600 hp at the wheels", "wheels"),
    ("counter", "power", "600hp to the tire", "power", 600, "hp", "600 hp at the wheels", "wheels"),
    ("counter", "power", "600 hp at the crank", "power", 600, "hp", "600 hp at the crank", "crank"),
    ("counter", "power", "750 PS at the flywheel", "power", 750, "PS", "750 PS at the crank", "crank"),
    ("counter", "power", "600 wheel horsepower", "power", 600, "hp", "600 hp at the wheels", "wheels"),
    ("counter", "power", "1,000 hp", "power", 1000, "hp", "1000 hp", None),
    ("counter", "power", "1,500 whp", "power", 1500, "hp", "1500 hp at the wheels", "wheels"),
    ("counter", "mass", "3,000 kg", "mass", 3000, "kg", "3000 kg", None),
    ("counter", "power", "1,234.5 hp", "power", 1234.5, "hp", "1234.5 hp", None),
    ("counter", "speed", "7,500 rpm", "rotational_speed", 7500, "rpm", "7500 rpm", None),
    (
        "counter",
        "torque",
        "500 lb-ft at the wheels",
        "torque",
        500,
        "lb-ft",
        "500 lb-ft at the wheels",
        "wheels",
    ),
]


@pytest.mark.parametrize(
    ("shows", "name", "written", "dimension", "number", "unit", "note", "place"),
    TAKEN,
    ids=[f"{row[0]}: {row[2]}" for row in TAKEN],
)
def test_taken(shows, name, written, dimension, number, unit, note, place):
    reading = read_number(written, FORMS[name])
    assert isinstance(reading, Reading), reading
    assert (reading.dimension, reading.note, reading.place) == (dimension, note, place)
    assert from_si(reading.value, dimension, unit) == pytest.approx(number, rel=1e-12)


REFUSED = [
    # which of the twelve test orders it comes from, or what it shows, form, what was written, code,
    # suggestion
    ("order 1", "injector", "60 lb", "wrong-unit", "60 lb/h"),
    ("order 1", "pump", 255, "unit-missing", "255 L/h"),
    ("order 2", "injector", "42 lb / 440 cc", "two-numbers", None),
    ("order 3", "pump", "500 hp", "wrong-unit", None),
    ("order 4", "boost", "15 psi (1 bar)", "two-numbers", "15 psi"),
    ("order 5", "boost", "2.0 bar abs", "wrong-reading", "1.0 bar"),
    ("order 5", "sensor", "14 psi gauge", "wrong-reading", "28.7 psi abs"),
    ("order 6", "displacement", "2,0 L", "decimal-comma", "2.0 L"),
    ("order 6", "boost", "1,8 psi", "decimal-comma", "1.8 psi"),
    ("order 7", "pump", "255 lpm", "out-of-range", "255 L/h"),
    ("order 9", "power", "530+ rwhp", "open-ended", "530 whp"),
    ("order 10", "torque", "heavy duty twin", "no-number", None),
    ("order 11", "boost", "2100 mbar abs", "wrong-reading", "1090 mbar"),
    ("order 12", "ethanol", 60, "out-of-range", "60 %"),
    ("order 12", "boost", "21.7 bar", "out-of-range", "21.7 psi"),
    ("no unit", "boost", 12, "unit-missing", None),
    ("no unit", "boost", "12", "unit-missing", None),
    ("no unit", "displacement", 2.0, "unit-missing", "2 L"),
    ("no unit", "injector", 440, "unit-missing", "440 cc/min"),
    ("no unit", "injector", 60, "unit-missing", "60 lb/h"),
    ("no unit", "boost", {"value": 12, "unit": ""}, "unit-missing", None),
    ("weight said", "torque", "360 lbs", "wrong-unit", "360 lb-ft"),
    ("volume said", "injector", "440 cc", "wrong-unit", "440 cc/min"),
    ("suggestion would be impossible", "torque", "50000 lb", "wrong-unit", None),
    ("unit where none belongs", "octane", "95 psi", "wrong-unit", None),
    ("place where none belongs", "rating", "500 whp", "wrong-unit", None),
    ("place where none belongs", "rating", "500 bhp", "wrong-unit", "500 hp"),
    ("misspelled", "boost", "12 pssi", "unknown-unit", "12 psi"),
    ("unknown", "compression", "8.5 comp", "unknown-unit", None),
    ("unknown", "boost", {"value": 12, "unit": "florins"}, "unknown-unit", None),
    ("form not of this field", "ethanol", "8.5:1", "two-numbers", None),
    ("form not of this field", "compression", "E60", "no-number", None),
    ("grade past pure", "ethanol", "E160", "out-of-range", None),
    ("compression past belief", "compression", "85:1", "out-of-range", None),
    ("percent meant", "ethanol", "60", "out-of-range", "60 %"),
    ("bare, more than one unit", "counter boost", "0.8", "unit-missing", None),
    ("bare, one unit", "counter boost", "12", "unit-missing", "12 psi"),
    ("a place without a unit", "power", "600 to the tire", "unit-missing", None),
    ("two places", "power", "600 bhp at the wheels", "unknown-unit", None),
    ("place where none belongs", "rating", "500 hp at the wheels", "wrong-unit", None),
    ("thousands or a decimal comma", "displacement", "1,998 L", "decimal-comma", "1.998 L"),
    ("a k that is no thousand", "charge", "6.5k", "out-of-range", "6.5 degC"),
    ("a fraction of nothing", "pulley", "3 1/0 in", "two-numbers", None),
    ("inches written as mm", "gap", "0.035 mm", "out-of-range", "0.035 in"),
    ("litres written for inches", "displacement", "350 L", "out-of-range", "350 ci"),
    ("nothing fits", "octane", 950, "out-of-range", None),
    ("three decimals", "displacement", "1,275 L", "decimal-comma", "1.275 L"),
    ("leading zeros", "displacement", "0,500 L", "decimal-comma", "0.500 L"),
    ("leading zeros", "boost", "0,500 kPa", "decimal-comma", "0.500 kPa"),
    ("minus", "boost", "-0,5 bar", "decimal-comma", "-0.5 bar"),
    ("comma in a range", "boost", "0,5 to 1,5 bar", "decimal-comma", None),
    ("comma in words", "boost", "15 psi, 1 bar", "two-numbers", "15 psi"),
    ("range not allowed", "sensor", "2-3 bar", "range", None),
    ("range without unit", "boost", "7-14", "unit-missing", None),
    ("range past belief", "boost", "7 to 140 psi", "out-of-range", None),
    ("range of two kinds", "power", "300 lb - 400 hp", "wrong-unit", None),
    ("tolerance in another unit", "boost", "13 psi ±0.5 lb/h", "tolerance", "13 psi"),
    ("a place only the tolerance has", "power", "450 hp ±10 whp", "tolerance", "450 hp"),
    ("another place in the tolerance", "power", "450 bhp ±10 whp", "tolerance", None),
    ("tolerance past belief", "boost", "6 bar ±2 bar", "tolerance", "6 bar"),
    ("tolerance below zero", "boost", {"value": 13, "unit": "psi", "tolerance": -1}, "tolerance", None),
    ("tolerance below zero", "boost", "13 psi ±-0.5", "tolerance", None),
    ("tolerance not finite", "boost", "13 psi ±1e999", "tolerance", None),
    ("tolerance not finite", "boost", {"value": 13, "unit": "psi", "tolerance": math.inf}, "tolerance", None),
    ("tolerance not finite", "boost", {"value": 13, "unit": "psi", "tolerance": math.nan}, "tolerance", None),
    ("tolerance as large as the number", "drop", "5 psi ±5", "tolerance", "5 psi"),
    ("tolerance as large as the number", "drop", "5 psi ±100 %", "tolerance", "5 psi"),
    (
        "tolerance as large as the number",
        "drop",
        {"value": 5, "unit": "psi", "tolerance": 5},
        "tolerance",
        "5 psi",
    ),
    ("tolerance as large as the number", "power", "450 hp ±450", "tolerance", "450 hp"),
    ("tolerance without a unit anywhere", "boost", "13 ±0.5", "unit-missing", None),
    ("tolerance in words", "boost", {"value": 13, "unit": "psi", "tolerance": "1"}, "wrong-type", None),
    ("tolerance of another flow", "injector", "60 lb/h ±10 cc/min", "tolerance", "60 lb/h"),
    ("tolerance from vacuum", "boost", "1 bar ±0.1 bara", "tolerance", "1 bar"),
    ("what is suggested keeps the place", "power", "450 whp ±9000", "tolerance", "450 whp"),
    ("what is suggested keeps the reading", "sensor", "2 bar abs ±3", "tolerance", "2 bar abs"),
    ("share of a number without a unit", "boost", "13 ±5 %", "unit-missing", None),
    ("two tolerances", "boost", "13 psi ±0.5 ±1", "two-numbers", None),
    ("tolerance of a range", "boost", "7-14 psi ±1", "two-numbers", None),
    ("percent of a temperature", "charge", "60 degC ±5 %", "tolerance", "60 degC"),
    ("two that disagree", "boost", "15 psi (2 bar)", "two-numbers", None),
    ("three", "boost", "5/10/15 psi", "two-numbers", None),
    ("space for thousands", "speed", "7 500 rpm", "two-numbers", None),
    ("open end", "power", "530 hp+", "open-ended", "530 hp"),
    ("open end", "power", ">= 530 hp", "open-ended", "530 hp"),
    ("open end", "boost", "up to 14 psi", "open-ended", "14 psi"),
    ("about", "power", "~300 hp", "unreadable", "300 hp"),
    ("difference is neither", "drop", "2 psi gauge", "wrong-reading", None),
    ("difference is neither", "drop", "2 psia", "wrong-reading", None),
    ("not text of a number", "boost", "", "no-number", None),
    ("other digits", "boost", "٣ psi", "not-ascii-digits", None),
    ("other digits", "boost", "１2 psi", "not-ascii-digits", None),
    ("too long", "boost", "12 psi" + " " * 60, "too-long", None),
    ("too long", "boost", {"value": 12, "unit": "psi" * 30}, "too-long", None),
    ("type", "boost", True, "wrong-type", None),
    ("type", "compression", False, "wrong-type", None),
    ("type", "boost", None, "wrong-type", None),
    ("type", "boost", ["12 psi"], "wrong-type", None),
    ("type", "boost", {"value": "12", "unit": "psi"}, "wrong-type", None),
    ("type", "boost", {"value": True, "unit": "psi"}, "wrong-type", None),
    ("type", "boost", {"value": 12, "unit": None}, "wrong-type", None),
    ("shape", "boost", {"value": 12}, "wrong-shape", None),
    ("shape", "boost", {"value": 12, "unit": "psi", "at": "crank"}, "wrong-shape", None),
    ("shape", "boost", {}, "wrong-shape", None),
    ("not finite", "compression", math.nan, "not-finite", None),
    ("not finite", "compression", math.inf, "not-finite", None),
    ("not finite", "compression", 10**400, "not-finite", None),
    ("not finite", "boost", "1e999 psi", "not-finite", None),
    ("not finite", "boost", {"value": -math.inf, "unit": "psi"}, "not-finite", None),
]


@pytest.mark.parametrize(
    ("shows", "name", "written", "code", "suggestion"),
    REFUSED,
    ids=[f"{row[0]}: {str(row[2])[:20]}" for row in REFUSED],
)
def test_refused(shows, name, written, code, suggestion):
    fault = read_number(written, FORMS[name])
    assert isinstance(fault, Fault), fault
    assert (fault.code, fault.suggestion) == (code, suggestion)
    assert fault.detail.startswith(f"{FORMS[name].label}: ")
    assert fault.expected == FORMS[name].expected


@pytest.mark.parametrize(
    ("shows", "name", "written", "code", "suggestion"),
    [row for row in REFUSED if row[4]],
    ids=lambda value: str(value)[:20],
)
def test_every_suggestion_is_taken(shows, name, written, code, suggestion):
    assert isinstance(read_number(suggestion, FORMS[name]), Reading)


@pytest.mark.parametrize(
    ("name", "written", "options"),
    [
        ("counter boost", "0.8", ("0.8 bar", "0.8 psi")),
        ("counter boost", 1.2, ("1.2 bar", "1.2 psi")),
        (
            "power",
            "600 to the tire",
            ("600 hp at the wheels", "600 PS at the wheels", "600 kW at the wheels"),
        ),
    ],
)
def test_all_that_it_may_mean_is_offered(name, written, options):
    fault = read_number(written, FORMS[name])
    assert (fault.suggestion, fault.options) == (None, options)
    assert all(isinstance(read_number(option, FORMS[name]), Reading) for option in options)


@pytest.mark.parametrize(
    ("name", "written", "detail"),
    [
        (
            "injector",
            "60 lb",
            "Injector flow: 60 lb is a mass; this field takes a flow by mass or a flow by volume.",
        ),
        ("pump", 255, "Pump flow: 255 has no unit."),
        (
            "boost",
            "2.0 bar abs",
            "Boost: this field takes gauge pressure; 2 bar absolute would be about 1.0 bar gauge at "
            "sea level.",
        ),
        (
            "sensor",
            "14 psi gauge",
            "Sensor range: this field takes absolute pressure; 14 psi gauge would be about 28.7 psi "
            "absolute at sea level.",
        ),
        ("boost", "21.7 bar", "Boost: 21.7 bar can't be right; -0.5 to 7 bar is possible."),
        ("counter boost", "0.8", "Boost: 0.8 has no unit; it could be 0.8 bar or 0.8 psi."),
        ("ethanol", 60, "Ethanol: 60 can't be right; 0 to 1 is possible."),
        ("rating", "500 whp", "Block rating: this field takes plain hp, not hp at the wheels."),
        ("boost", "12 florins", "Boost: I don't know that unit."),
        ("boost", "13 psi ±-0.5", "Boost: a tolerance is a finite number, not below zero."),
        ("boost", "13 psi ±0.5 lb/h", "Boost: the tolerance needs a unit of the number's own kind."),
        ("drop", "5 psi ±5", "Pressure drop: the tolerance is as large as the number itself."),
        ("boost", "6 bar ±2 bar", "Boost: with its tolerance the number can't be right."),
    ],
)
def test_detail_reads_as_a_sentence(name, written, detail):
    assert read_number(written, FORMS[name]).detail == detail


def test_expected_names_the_units_that_fit():
    assert read_number("60 lb", FORMS["injector"]).expected == (
        "a number with lb/h, kg/h, g/s or lb/min, or a number with cc/min, L/h, gal/h, L/min, m3/h or cfm"
    )


# Odd mixtures of the characters that carry meaning, beside any text at all.
MEANINGFUL = st.lists(
    st.sampled_from(
        [
            "7",
            "14",
            ".5",
            "1e3",
            " ",
            "-",
            "+",
            ",",
            ".",
            "..",
            "to",
            "/",
            "(",
            ")",
            ":",
            "1",
            "%",
            "E",
            "±",
            "~",
            "psi",
            "bar",
            "abs",
            "g",
            "lb",
            "hp",
            "whp",
            "cc",
            "²",
            "٣",
            '"',
        ]
    ),
    max_size=8,
).map("".join)
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=80) | MEANINGFUL,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text(max_size=5), inner, max_size=3)
        | st.fixed_dictionaries({"value": inner, "unit": inner})
    ),
    max_leaves=4,
)


@given(JSON, st.sampled_from(sorted(FORMS)))
def test_any_json_value_is_read_or_refused(value, name):
    result = read_number(value, FORMS[name])
    assert isinstance(result, Reading | Fault)
    if isinstance(result, Reading):
        low, high = FORMS[name].possible[result.dimension]
        assert low <= result.value <= high
    elif result.suggestion:
        assert isinstance(read_number(result.suggestion, FORMS[name]), Reading)


@given(JSON)
def test_any_json_value_is_a_count_or_a_choice_or_refused(value):
    count = read_count(value, "Cylinders", (1, 24))
    assert isinstance(count, Fault) or (type(count) is int and 1 <= count <= 24)
    choice = read_choice(value, "Layout", ("front", "rear", "all"), {"awd": "all"})
    assert isinstance(choice, Fault) or choice[0] in ("front", "rear", "all")


WIDE = {
    name: NumberForm(
        name,
        (name,),
        {name: (-math.inf, math.inf)},
        reading="gauge" if name == "pressure" else None,
        has_place=True,
    )
    for name in DIMENSIONS
}
SPELLINGS = [(name, spelling) for name, dimension in DIMENSIONS.items() for spelling in dimension.units]


@given(st.floats(-1e6, 1e6).map(lambda number: f"{number:.6f}"), st.sampled_from(SPELLINGS))
def test_every_spelling_of_every_dimension_is_read_back(number, spelled):
    name, spelling = spelled
    unit = DIMENSIONS[name].units[spelling]
    for written in (f"{number} {spelling}".strip(), {"value": float(number), "unit": spelling}):
        reading = read_number(written, WIDE[name])
        assert (reading.dimension, reading.place) == (name, unit.place)
        assert from_si(reading.value, name, unit.text) == pytest.approx(float(number), rel=1e-9, abs=1e-9)


@given(
    st.text("qzxjQZXJ", min_size=4, max_size=12),
    st.sampled_from(
        [
            "{}",
            "12 {}",
            "{} 12",
            "12 {} psi",
            "7-14 {}",
            "7 {} to 14 psi",
            "15 psi ({})",
            "15 psi (1 {})",
            "1,5 {}",
            "12+ {}",
            "12 psi {}",
            "12 {} abs",
            "{}:1",
            "13 {} ±1",
        ]
    ),
    st.sampled_from(sorted(FORMS)),
)
def test_words_of_the_client_are_never_repeated(word, pattern, name):
    text = pattern.format(word)
    choice = read_choice(text, "Kind", ("turbo", "roots"))
    for result in (
        read_number(text, FORMS[name]),
        read_number({"value": 1, "unit": text}, FORMS[name]),
        read_number({text: 1}, FORMS[name]),
        choice,
    ):
        assert isinstance(result, Fault)
        assert word.casefold() not in repr(result).casefold()


WITH_TOLERANCE = [
    # form, what was written, low and high in the unit, unit, note
    ("boost", "13 psi ±0.5", 12.5, 13.5, "psi", "13 psi, give or take 0.5 psi"),
    ("boost", "13 ±0.5 psi", 12.5, 13.5, "psi", "13 psi, give or take 0.5 psi"),
    ("boost", "13 psi ± 0.5 psi", 12.5, 13.5, "psi", "13 psi, give or take 0.5 psi"),
    ("boost", "13 psi +/- 0.5", 12.5, 13.5, "psi", "13 psi, give or take 0.5 psi"),
    ("boost", "1 bar ±1 psi", 13.50377, 15.50377, "psi", "1 bar, give or take 1 psi"),
    ("boost", "20 psi ±5 %", 19, 21, "psi", "20 psi, give or take 5 %"),
    (
        "boost",
        {"value": 13, "unit": "psi", "tolerance": 0.5},
        12.5,
        13.5,
        "psi",
        "13 psi, give or take 0.5 psi",
    ),
    ("boost", {"value": 1, "unit": "bar", "tolerance": 1}, 0, 2, "bar", "1 bar, give or take 1 bar"),
    ("power", "450 ±10 whp", 440, 460, "hp", "450 hp at the wheels, give or take 10 hp"),
    ("power", "450 whp ±10 hp", 440, 460, "hp", "450 hp at the wheels, give or take 10 hp"),
    ("boost", "13 psi +- 0.5", 12.5, 13.5, "psi", "13 psi, give or take 0.5 psi"),
    ("octane", "98 RON ±1", 97, 99, "", "98 RON, give or take 1"),
    ("power", "450 hp at the wheels ±10", 440, 460, "hp", "450 hp at the wheels, give or take 10 hp"),
    ("boost", "13 psi (±0.5)", 12.5, 13.5, "psi", "13 psi, give or take 0.5 psi"),
    ("boost", "13 psi ±0.5 psig", 12.5, 13.5, "psi", "13 psi, give or take 0.5 psi"),
    ("boost", "20 psi ±5 percent", 19, 21, "psi", "20 psi, give or take 5 %"),
    # A share of a plain number; points where the number itself is in percent.
    ("compression", "9 ±5 %", 8.55, 9.45, "", "9, give or take 0.45"),
    ("octane", "98 ±1 %", 97.02, 98.98, "", "98, give or take 0.98"),
    ("ethanol", "0.6 ±5 %", 0.57, 0.63, "", "0.6, give or take 0.03"),
    ("ethanol", "60 % ±5 %", 0.55, 0.65, "", "60 % = 0.6, give or take 0.05"),
    ("ethanol", "60 pct ±5 %", 0.55, 0.65, "", "60 % = 0.6, give or take 0.05"),
    ("ethanol", "60 ±5 %", 0.55, 0.65, "", "60 % = 0.6, give or take 0.05"),
    ("ethanol", {"value": 60, "unit": "%", "tolerance": 5}, 0.55, 0.65, "", "60 % = 0.6, give or take 0.05"),
    ("compression", "9.3 ±0.1", 9.2, 9.4, "", "9.3, give or take 0.1"),
    ("sensor", "3 bar abs ±0.1", 2.9, 3.1, "bar", "3 bar absolute, give or take 0.1 bar"),
    ("sensor", "3 bar ±0.1", 2.9, 3.1, "bar", "3 bar read as absolute, give or take 0.1 bar"),
    # A tolerance is a difference: five degrees, not five degrees above freezing.
    ("charge", "60 degC ±5", 55, 65, "degC", "60 degC, give or take 5 degC"),
    ("charge", {"value": 60, "unit": "degC", "tolerance": 5}, 55, 65, "degC", "60 degC, give or take 5 degC"),
    ("charge", "140 degF ±9 degF", 131, 149, "degF", "140 degF, give or take 9 degF"),
]


@pytest.mark.parametrize(
    ("name", "written", "low", "high", "unit", "note"),
    WITH_TOLERANCE,
    ids=[str(row[1]) for row in WITH_TOLERANCE],
)
def test_a_tolerance_is_taken_and_said(name, written, low, high, unit, note):
    reading = read_number(written, FORMS[name])
    dimension = FORMS[name].dimensions[0]
    assert reading.spread == pytest.approx(
        tuple(to_si(f"{end} {unit}".strip(), dimension) for end in (low, high)), rel=1e-6
    )
    assert sum(reading.spread) / 2 == pytest.approx(reading.value)
    assert reading.note == note


@pytest.mark.parametrize(
    "written", ["13 psi ±0", "13 psi ±0 %", "13 psi ±1e-30", {"value": 13, "unit": "psi", "tolerance": 0}]
)
def test_a_tolerance_of_nothing_spreads_nothing(written):
    reading = read_number(written, FORMS["boost"])
    assert reading.spread is None and reading.note.startswith("13 psi, give or take ")


@pytest.mark.parametrize("written", ["95 % ±0", "90 % ±5", "0.8 ±0.15", "0.3 ±0.2"])
def test_rounding_takes_no_tolerance_past_the_ends(written):
    """In floats 95 % and 0.8 + 0.15 lie above 0.95, and 0.3 - 0.2 below 0.1."""
    assert isinstance(read_number(written, form("Duty", {"ratio": ("0.1", "0.95")})), Reading)
