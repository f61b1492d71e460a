"""The table of units against pint, against published definitions, and in the spellings people use."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.units.units import DIMENSIONS, find_unit, from_si, offer, to_si

# Our canonical spelling in pint's words. pint reads some of ours as something else (PS petasiemens, cfm, fl
# oz) and most as they stand.
PINT_WORDS = {
    "kg/cm2": "kilogram_force / centimeter ** 2",
    "cc/min": "centimeter ** 3 / minute",
    "L/h": "liter / hour",
    "L/min": "liter / minute",
    "gal/h": "gallon / hour",
    "gal/min": "gallon / minute",
    "m3/h": "meter ** 3 / hour",
    "m3/min": "meter ** 3 / minute",
    "m3/s": "meter ** 3 / second",
    "cfm": "foot ** 3 / minute",
    "hp": "horsepower",
    "PS": "metric_horsepower",
    "Btu/h": "international_british_thermal_unit / hour",
    "lb-ft": "pound_force * foot",
    "lb-in": "pound_force * inch",
    "N.m": "newton * meter",
    "in": "inch",
    "mi": "mile",
    "in2": "inch ** 2",
    "cm2": "centimeter ** 2",
    "mm2": "millimeter ** 2",
    "m2": "meter ** 2",
    "ci": "inch ** 3",
    "cc": "centimeter ** 3",
    "cm3": "centimeter ** 3",
    "m3": "meter ** 3",
    "fl oz": "fluid_ounce",
    "gal": "gallon",
    "lb/in": "pound_force / inch",
    "mph": "mile / hour",
    "m/s2": "meter / second ** 2",
    "ft/s2": "foot / second ** 2",
    "": "dimensionless",
    "%": "percent",
    "kg/m3": "kilogram / meter ** 3",
    "g/cc": "gram / centimeter ** 3",
    "lb/gal": "pound / gallon",
    "lb/hp/h": "pound / horsepower / hour",
    "g/kWh": "gram / (kilowatt * hour)",
    "kJ/kg/K": "kilojoule / kilogram / kelvin",
    "J/kg/K": "joule / kilogram / kelvin",
    "m2/s": "meter ** 2 / second",
    "mm2/s": "millimeter ** 2 / second",
    "kg.m2": "kilogram * meter ** 2",
    "psi/krpm": "psi / (1000 * revolution / minute)",
    "kPa/krpm": "kilopascal / (1000 * revolution / minute)",
}
CANONICAL = [
    (name, unit)
    for name, dimension in DIMENSIONS.items()
    for spelling, unit in dimension.units.items()
    if spelling == unit.text
]


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    registry = pint.UnitRegistry()
    registry.define("octane_number = [octane]")
    return registry


@pytest.mark.parametrize(
    ("name", "unit"), CANONICAL, ids=[f"{name}: {unit.text}" for name, unit in CANONICAL]
)
def test_factor_agrees_with_pint(registry, name, unit):
    dimension = DIMENSIONS[name]
    words = PINT_WORDS.get(unit.text, unit.text)
    if name == "octane":
        words = "octane_number"
    if name == "temperature_difference":
        words = f"delta_{unit.text}" if unit.text != "K" else "kelvin"
    quantity = registry.Quantity
    if name == "temperature":
        for number in (0.0, 100.0):
            assert number * unit.factor + unit.offset == pytest.approx(
                quantity(number, words).to(dimension.si).magnitude, rel=1e-12
            )
    else:
        assert unit.offset == 0
        assert unit.factor == pytest.approx((1 * registry(words)).to(dimension.si).magnitude, rel=1e-12)


@pytest.mark.parametrize("dimension", DIMENSIONS.values(), ids=DIMENSIONS)
def test_dimension_offers_units_it_has_and_starts_with_canonical_spellings(dimension):
    assert set(dimension.offered) <= set(dimension.units)
    texts = {unit.text for unit in dimension.units.values()}
    assert set(list(dimension.units)[: len(texts)]) == texts


# Published: NIST SP 811 (2008), appendix B.8 and B.9; values in bold there are exact, others are rounded to
# the digits given.
@pytest.mark.parametrize(
    ("text", "dimension", "published", "tolerance"),
    [
        ("1 in", "length", 0.0254, 1e-15),
        ("1 ft", "length", 0.3048, 1e-15),
        ("1 mi", "distance", 1609.344, 1e-15),
        ("1 lb", "mass", 0.45359237, 1e-15),
        ("1 lbf", "force", 4.4482216152605, 1e-14),
        ("1 psi", "pressure", 6894.757, 1e-7),
        ("1 kg/cm2", "pressure", 98066.5, 1e-15),
        ("1 atm", "pressure", 101325, 1e-15),
        ("1 inHg", "pressure", 3386.389, 2e-7),
        ("1 inH2O", "pressure", 249.0889, 2e-7),
        ("1 hp", "power", 745.6999, 1e-7),
        ("1 PS", "power", 735.4988, 1e-7),
        ("1 Btu/h", "heat_flow", 0.2930711, 2e-7),
        ("1 lb-ft", "torque", 1.355818, 4e-7),
        ("1 gal", "volume", 3.785412e-3, 1e-7),
        ("1 fl oz", "volume", 2.957353e-5, 2e-7),
        ("1 ci", "volume", 1.638706e-5, 4e-7),
        ("1 cfm", "volume_flow", 4.719474e-4, 2e-7),
        ("1 lb/h", "mass_flow", 1.259979e-4, 2e-7),
        ("1 lb/gal", "density", 119.8264, 4e-7),
        ("1 mph", "speed", 0.44704, 1e-15),
        ("1 rpm", "rotational_speed", 0.1047198, 5e-7),
        ("1 deg", "angle", 0.01745329, 2e-7),
        ("32 degF", "temperature", 273.15, 1e-15),
        ("212 degF", "temperature", 373.15, 1e-15),
    ],
)
def test_factor_agrees_with_published_definition(text, dimension, published, tolerance):
    assert to_si(text, dimension) == pytest.approx(published, rel=tolerance)


@pytest.mark.parametrize(
    ("dimension", "spelling", "canonical"),
    [
        ("pressure", "PSI", "psi"),
        ("pressure", "mpa", "MPa"),
        ("pressure", "KG/CM²", "kg/cm2"),
        ("pressure", "in Hg", "inHg"),
        ("mass_flow", "lb/hr", "lb/h"),
        ("mass_flow", "LBS/HR", "lb/h"),
        ("volume_flow", "lph", "L/h"),
        ("volume_flow", "l/h", "L/h"),
        ("volume_flow", "gph", "gal/h"),
        ("volume_flow", "lpm", "L/min"),
        ("volume_flow", "ccm", "cc/min"),
        ("volume_flow", "CFM", "cfm"),
        ("power", "HP", "hp"),
        ("power", "ps", "PS"),
        ("power", "kw", "kW"),
        ("torque", "ft/lbs", "lb-ft"),
        ("torque", "ft. lbs.", "lb-ft"),
        ("torque", "lbft", "lb-ft"),
        ("torque", "Nm", "N.m"),
        ("torque", "N·m", "N.m"),
        ("torque", "in-lb", "lb-in"),
        ("volume", "cu in", "ci"),
        ("volume", "cu. in.", "ci"),
        ("volume", "in³", "ci"),
        ("volume", "cid", "ci"),
        ("volume", "fl. oz.", "fl oz"),
        ("volume", "l", "L"),
        ("length", '"', "in"),
        ("length", "inches", "in"),
        ("force", "lb", "lbf"),
        ("temperature", "°C", "degC"),
        ("temperature", "F", "degF"),
        ("temperature", "deg C", "degC"),
        ("angle", "°", "deg"),
        ("angle", "Degrees", "deg"),
        ("rotational_speed", "RPM", "rpm"),
        ("rotational_speed", "1/min", "rpm"),
        ("mass_per_energy", "lb/hp-h", "lb/hp/h"),
        ("mass_per_energy", "lb/(hp·h)", "lb/hp/h"),
        ("mass_per_energy", "lb/hp-hr", "lb/hp/h"),
        ("mass_per_energy", "g/kW-h", "g/kWh"),
        ("ratio", "percent", "%"),
        ("ratio", "", ""),
    ],
)
def test_spelling_is_understood(dimension, spelling, canonical):
    assert find_unit(dimension, spelling) is DIMENSIONS[dimension].units[canonical]


@pytest.mark.parametrize(
    ("dimension", "spelling", "text", "place"),
    [
        ("power", "whp", "hp", "wheels"),
        ("power", "RWHP", "hp", "wheels"),
        ("power", "awhp", "hp", "wheels"),
        ("power", "bhp", "hp", "crank"),
        ("power", "hp", "hp", None),
        ("torque", "wtq", "lb-ft", "wheels"),
        ("torque", "awtq", "lb-ft", "wheels"),
        ("torque", "lb-ft", "lb-ft", None),
    ],
)
def test_spelling_says_the_place(dimension, spelling, text, place):
    unit = find_unit(dimension, spelling)
    assert (unit.text, unit.place) == (text, place)
    assert unit.factor == DIMENSIONS[dimension].units[text].factor


@pytest.mark.parametrize(
    ("dimension", "spelling"),
    [
        ("pressure", ""),
        ("pressure", "hp"),
        ("volume_flow", "lb/h"),
        ("mass_flow", "lb"),
        ("angle", "-"),
        ("torque", "lbs"),
        ("octane", "%"),
        ("pressure", "psia"),
    ],
)
def test_spelling_of_another_dimension_is_not_found(dimension, spelling):
    assert find_unit(dimension, spelling) is None


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("85 %", "ratio", 0.85),
        ("8.5", "ratio", 8.5),
        ("-0.5 bar", "pressure", -5e4),
        ("0 K", "temperature", 0),
        ("45 degC", "temperature", 318.15),
        ("1.5e3 rpm", "rotational_speed", 1500 * 2 * 3.141592653589793 / 60),
        ("91", "octane", 91),
        ("44 MJ/kg", "energy_per_mass", 44e6),
        ("100 kPa", "stress", 1e5),
        ("12psi", "pressure", 12 * 6894.757293168361),
    ],
)
def test_rule_text_is_read(text, dimension, value):
    assert to_si(text, dimension) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("12", "pressure"),
        ("12 PSI", "pressure"),
        ("12 hp", "pressure"),
        ("1,000 hp", "power"),
        ("600 whp", "power"),
        (".5 in", "length"),
        ("+5 psi", "pressure"),
        ("5. psi", "pressure"),
        ("1e999 Pa", "pressure"),
        ("nan", "ratio"),
        ("inf", "ratio"),
        ("0x10", "ratio"),
        ("1_0", "ratio"),
        ("٣", "ratio"),
        ("", "ratio"),
        ("8.5:1", "ratio"),
        ("12 psi ", "pressure"),
    ],
)
def test_rule_text_is_refused_with_what_fits(text, dimension):
    with pytest.raises(ValueError) as refused:
        to_si(text, dimension)
    assert str(refused.value) == f"{DIMENSIONS[dimension].phrase} is written as {offer(dimension)}."


def test_offer_reads_as_a_sentence():
    assert offer("power") == "a number with hp, PS or kW"
    assert offer("ratio") == "a plain number or a number with %"
    assert offer("octane") == "a plain number"


@given(st.floats(-1e9, 1e9), st.sampled_from(CANONICAL))
def test_from_si_undoes_to_si(number, named):
    name, unit = named
    shown = f"{number:f} {unit.text}".strip()
    back = from_si(to_si(shown, name), name, unit.text)
    assert back == pytest.approx(float(f"{number:f}"), rel=1e-12, abs=1e-9)


def test_from_si_refuses_a_unit_of_another_dimension():
    with pytest.raises(KeyError):
        from_si(1.0, "pressure", "hp")
