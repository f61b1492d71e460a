"""The one table of units: what may be written, and the factor that turns it into SI.

Factors follow the exact definitions of NIST SP 811 (2008), appendix B, and the SI Brochure (BIPM, 9th
edition, 2019), written as arithmetic so that each can be checked by eye. `gal` and `fl oz` are the US liquid
measures, `hp` is the mechanical horsepower of 550 ft.lbf/s, `PS` the metric one of 75 kgf.m/s, `Btu` the
International Table unit.
"""

import math
import re
from dataclasses import dataclass

INCH = 0.0254
FOOT = 12 * INCH
MILE = 5280 * FOOT
POUND = 0.45359237
GRAVITY = 9.80665
POUND_FORCE = POUND * GRAVITY
PSI = POUND_FORCE / INCH**2
GALLON = 231 * INCH**3
HORSEPOWER = 550 * FOOT * POUND_FORCE
METRIC_HORSEPOWER = 75 * GRAVITY
BTU = 4186.8 * POUND / 1.8
STANDARD_ATMOSPHERE = 101325.0
# Conventional densities that define the columns of mercury and of water (NIST SP 811, appendix B.8).
MERCURY_COLUMN = 13595.1 * GRAVITY
WATER_COLUMN = 1000 * GRAVITY
REVOLUTION = 2 * math.pi


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as shown to people: SI = number * factor + offset. `place` where the spelling says crank or
    wheels.
    """

    text: str
    factor: float
    offset: float = 0.0
    place: str | None = None


@dataclass(frozen=True, slots=True)
class Dimension:
    """A kind of quantity: its SI unit in words, every accepted spelling, and the units offered in
    messages.
    """

    name: str
    phrase: str
    si: str
    units: dict[str, Unit]
    offered: tuple[str, ...]

    @property
    def plain(self) -> bool:
        """Whether a number without a unit is right."""
        return "" in self.units


DIMENSIONS: dict[str, Dimension] = {}
_LOOSE: dict[str, dict[str, Unit]] = {}

_DROPPED = str.maketrans({**dict.fromkeys(" .-*^()·⋅°\u00a0\t"), "²": "2", "³": "3"})


def _loosen(spelling: str) -> str:
    """Letter case, spaces, dots, hyphens and brackets carry no meaning inside a unit of a known dimension."""
    return spelling.casefold().translate(_DROPPED)


def _add(name: str, phrase: str, si: str, offered: str, *rows: tuple[Unit, str]) -> None:
    """Enter a dimension; a row is (Unit, "other spelling, other spelling")."""
    units = {unit.text: unit for unit, _ in rows if unit.place is None}
    for unit, spellings in rows:
        units |= {word.strip(): unit for word in spellings.split(",") if word.strip()}
    loose: dict[str, Unit] = {}
    for spelling, unit in units.items():
        key = _loosen(spelling)
        if key and loose.setdefault(key, unit) is not unit:
            raise ValueError(f"two units of {name} are both spelled {key}")
    DIMENSIONS[name] = Dimension(name, phrase, si, units, tuple(offered.split(", ")))
    _LOOSE[name] = loose


_add(
    "pressure",
    "a pressure",
    "pascal",
    "psi, bar, kPa, mbar, kg/cm2, inHg",
    (Unit("psi", PSI), "lb/in2, lbs/in2, lbf/in2"),
    (Unit("bar", 1e5), "bars"),
    (Unit("mbar", 100.0), "millibar"),
    (Unit("kPa", 1e3), ""),
    (Unit("Pa", 1.0), ""),
    (Unit("hPa", 100.0), ""),
    (Unit("MPa", 1e6), ""),
    (Unit("inHg", MERCURY_COLUMN * INCH), "inches Hg, inch Hg"),
    (Unit("inH2O", WATER_COLUMN * INCH), "inWC, inches H2O, inch H2O"),
    (Unit("kg/cm2", GRAVITY / 0.01**2), "kgf/cm2"),
    (Unit("atm", STANDARD_ATMOSPHERE), ""),
)
_add(
    "mass_flow",
    "a flow by mass",
    "kilogram / second",
    "lb/h, kg/h, g/s, lb/min",
    (Unit("lb/h", POUND / 3600), "lb/hr, lbs/hr, lbs/h, pph, lb/hour, lbs/hour, #/hr, #/h"),
    (Unit("kg/h", 1 / 3600), "kg/hr, kgh"),
    (Unit("g/s", 1e-3), "g/sec, gps"),
    (Unit("lb/min", POUND / 60), "lbs/min"),
    (Unit("kg/s", 1.0), "kg/sec"),
    (Unit("kg/min", 1 / 60), ""),
)
_add(
    "volume_flow",
    "a flow by volume",
    "meter ** 3 / second",
    "cc/min, L/h, gal/h, L/min, m3/h, cfm",
    (Unit("cc/min", 1e-6 / 60), "ccm, ccpm, cm3/min, mL/min"),
    (Unit("L/h", 1e-3 / 3600), "lph, L/hr, litres/h, liters/h, litre/hour, liter/hour"),
    (Unit("gal/h", GALLON / 3600), "gph, gal/hr, gallons/h"),
    (Unit("L/min", 1e-3 / 60), "lpm, litres/min, liters/min"),
    (Unit("gal/min", GALLON / 60), "gpm, gallons/min"),
    (Unit("m3/h", 1 / 3600), "m3/hr, cmh"),
    (Unit("cfm", FOOT**3 / 60), "ft3/min, cu ft/min"),
    (Unit("m3/min", 1 / 60), ""),
    (Unit("m3/s", 1.0), ""),
)
_add(
    "power",
    "a power",
    "watt",
    "hp, PS, kW",
    (Unit("hp", HORSEPOWER), "horsepower"),
    (Unit("PS", METRIC_HORSEPOWER), "cv, metric hp"),
    (Unit("kW", 1e3), ""),
    (Unit("W", 1.0), ""),
    (Unit("MW", 1e6), ""),
    (Unit("hp", HORSEPOWER, place="wheels"), "whp, rwhp, awhp, wheel hp, wheel horsepower"),
    (Unit("kW", 1e3, place="wheels"), "wkW, rwkW, awkW"),
    (Unit("hp", HORSEPOWER, place="crank"), "bhp, crank hp, crank horsepower, brake horsepower"),
)
_add(
    "heat_flow",
    "a heat flow",
    "watt",
    "kW, Btu/h",
    (Unit("kW", 1e3), ""),
    (Unit("Btu/h", BTU / 3600), "Btu/hr"),
    (Unit("W", 1.0), ""),
)
_add(
    "torque",
    "a torque",
    "newton * meter",
    "lb-ft, N.m",
    (
        Unit("lb-ft", POUND_FORCE * FOOT),
        "lb.ft, lbs-ft, lb/ft, lbs/ft, ft-lb, ft-lbs, ft/lb, ft/lbs, lbf-ft, ft-lbf, "
        "foot pound, foot pounds, pound foot, pound feet, pounds feet, ft pounds",
    ),
    (Unit("N.m", 1.0), "Nm, newton metre, newton meter"),
    (Unit("lb-in", POUND_FORCE * INCH), "lbs-in, in-lb, in-lbs, in/lbs, lbf-in, in-lbf"),
    (Unit("lb-ft", POUND_FORCE * FOOT, place="wheels"), "wtq, rwtq, awtq"),
    (Unit("N.m", 1.0, place="wheels"), "wNm"),
)
_add(
    "length",
    "a length",
    "meter",
    "in, mm, cm, m, ft",
    (Unit("in", INCH), 'inch, inches, ", ″'),
    (Unit("mm", 1e-3), "millimetre, millimeter"),
    (Unit("cm", 1e-2), ""),
    (Unit("m", 1.0), "metre, meter, metres, meters"),
    (Unit("ft", FOOT), "foot, feet"),
    (Unit("thou", INCH / 1000), "thousandths"),
)
_add(
    "distance",
    "a distance",
    "meter",
    "km, mi",
    (Unit("km", 1e3), "kms, kilometre, kilometer, kilometres, kilometers"),
    (Unit("mi", MILE), "mile, miles"),
    (Unit("m", 1.0), ""),
)
_add(
    "area",
    "an area",
    "meter ** 2",
    "in2, cm2",
    (Unit("in2", INCH**2), "sq in, square inches, square inch"),
    (Unit("cm2", 1e-4), "sq cm"),
    (Unit("mm2", 1e-6), "sq mm"),
    (Unit("m2", 1.0), "sq m"),
)
_add(
    "volume",
    "a volume",
    "meter ** 3",
    "ci, cc, L",
    (Unit("ci", INCH**3), "cid, cu in, in3, cui, cubic inches, cubic inch"),
    (Unit("cc", 1e-6), "ccm"),
    (Unit("L", 1e-3), "l, litre, liter, litres, liters, ltr"),
    (Unit("mL", 1e-6), "ml"),
    (Unit("cm3", 1e-6), ""),
    (Unit("fl oz", GALLON / 128), "floz"),
    (Unit("gal", GALLON), "gallon, gallons"),
    (Unit("m3", 1.0), ""),
)
_add(
    "mass",
    "a mass",
    "kilogram",
    "kg, lb, g",
    (Unit("kg", 1.0), "kilo, kilos, kgs"),
    (Unit("lb", POUND), "lbs, pound, pounds, lbm"),
    (Unit("g", 1e-3), "gram, grams"),
)
_add(
    "force",
    "a force",
    "newton",
    "N, kN, lbf",
    (Unit("N", 1.0), ""),
    (Unit("kN", 1e3), ""),
    (Unit("lbf", POUND_FORCE), "lb, lbs, pound, pounds"),
)
_add(
    "stiffness",
    "a spring rate",
    "newton / meter",
    "N/mm, lb/in",
    (Unit("N/mm", 1e3), ""),
    (Unit("lb/in", POUND_FORCE / INCH), "lbs/in, lbf/in"),
    (Unit("N/m", 1.0), ""),
)
_add(
    "temperature",
    "a temperature",
    "kelvin",
    "degC, degF, K",
    (Unit("K", 1.0), "kelvin"),
    (Unit("degC", 1.0, 273.15), "C, celsius, deg celsius"),
    (Unit("degF", 1 / 1.8, 459.67 / 1.8), "F, fahrenheit, deg fahrenheit"),
)
_add(
    "temperature_difference",
    "a temperature difference",
    "kelvin",
    "K, degC, degF",
    (Unit("K", 1.0), "kelvin"),
    (Unit("degC", 1.0), "C"),
    (Unit("degF", 1 / 1.8), "F"),
)
_add(
    "rotational_speed",
    "a rotational speed",
    "radian / second",
    "rpm",
    (Unit("rpm", REVOLUTION / 60), "1/min, r/min, rev/min, revs/min, min-1, revs"),
    (Unit("rad/s", 1.0), ""),
)
_add(
    "speed",
    "a speed",
    "meter / second",
    "km/h, mph, m/s, ft/s",
    (Unit("km/h", 1 / 3.6), "kph, kmh, kmph, km/hr"),
    (Unit("mph", MILE / 3600), "mi/h"),
    (Unit("m/s", 1.0), ""),
    (Unit("ft/s", FOOT), "fps"),
    (Unit("ft/min", FOOT / 60), "fpm"),
)
_add(
    "acceleration",
    "an acceleration",
    "meter / second ** 2",
    "m/s2, ft/s2",
    (Unit("m/s2", 1.0), ""),
    (Unit("ft/s2", FOOT), ""),
)
_add("current", "a current", "ampere", "A", (Unit("A", 1.0), "amp, amps, ampere, amperes"))
_add("voltage", "a voltage", "volt", "V, kV", (Unit("V", 1.0), "volt, volts"), (Unit("kV", 1e3), ""))
_add(
    "time",
    "a time",
    "second",
    "s, ms, min",
    (Unit("s", 1.0), "sec, second, seconds"),
    (Unit("ms", 1e-3), "msec"),
    (Unit("min", 60.0), "minute, minutes"),
)
_add(
    "angle",
    "an angle",
    "radian",
    "deg",
    (Unit("deg", math.pi / 180), "degree, degrees, °"),
    (Unit("rad", 1.0), ""),
)
_add(
    "ratio",
    "a ratio",
    "dimensionless",
    ", %",
    (Unit("", 1.0), ""),
    (Unit("%", 0.01), "percent, pct, per cent"),
)
_add("octane", "an octane number", "octane_number", "", (Unit("", 1.0), "octane"))
_add("count", "a count", "dimensionless", "", (Unit("", 1.0), ""))
_add(
    "density",
    "a density",
    "kilogram / meter ** 3",
    "kg/L, kg/m3, lb/gal",
    (Unit("kg/L", 1e3), ""),
    (Unit("kg/m3", 1.0), ""),
    (Unit("g/cc", 1e3), "g/cm3, g/mL"),
    (Unit("lb/gal", POUND / GALLON), "lbs/gal"),
)
_add(
    "mass_per_energy",
    "a fuel consumption per unit of work",
    "kilogram / joule",
    "lb/hp/h, g/kWh",
    (
        Unit("lb/hp/h", POUND / HORSEPOWER / 3600),
        "lb/hp-h, lb/(hp.h), lb/hp-hr, lb/hp/hr, lbs/hp/h, lbs/hp/hr, lbs/hp-hr, lb/bhp/h, lb/bhp-hr, "
        "lb per hp-hour",
    ),
    (Unit("g/kWh", 1e-3 / 3.6e6), "g/kW/h"),
    (Unit("kg/J", 1.0), ""),
)
_add(
    "energy_per_mass",
    "an energy per mass",
    "joule / kilogram",
    "MJ/kg, kJ/kg",
    (Unit("MJ/kg", 1e6), ""),
    (Unit("kJ/kg", 1e3), ""),
    (Unit("J/kg", 1.0), ""),
)
_add(
    "specific_heat",
    "a specific heat",
    "joule / kilogram / kelvin",
    "kJ/kg/K, J/kg/K",
    (Unit("kJ/kg/K", 1e3), "kJ/kgK, kJ/(kg.K)"),
    (Unit("J/kg/K", 1.0), "J/kgK, J/(kg.K)"),
)
_add(
    "stress",
    "a stress",
    "pascal",
    "MPa, psi, ksi",
    (Unit("MPa", 1e6), "N/mm2"),
    (Unit("GPa", 1e9), ""),
    (Unit("kPa", 1e3), ""),
    (Unit("psi", PSI), ""),
    (Unit("ksi", 1e3 * PSI), ""),
    (Unit("Pa", 1.0), ""),
)
_add(
    "linear_density",
    "a mass per length",
    "kilogram / meter",
    "kg/m, g/m",
    (Unit("kg/m", 1.0), ""),
    (Unit("g/m", 1e-3), ""),
)
_add(
    "viscosity",
    "a kinematic viscosity",
    "meter ** 2 / second",
    "mm2/s, m2/s",
    (Unit("m2/s", 1.0), ""),
    (Unit("mm2/s", 1e-6), "cSt"),
)
_add(
    "moment_of_inertia",
    "a moment of inertia",
    "kilogram * meter ** 2",
    "kg.m2",
    (Unit("kg.m2", 1.0), "kg m2"),
)
_add("energy", "an energy", "joule", "J, kJ", (Unit("J", 1.0), ""), (Unit("kJ", 1e3), ""))
_add(
    "pressure_per_speed",
    "a pressure per rotational speed",
    "pascal * second / radian",
    "psi/krpm, kPa/krpm",
    (Unit("psi/krpm", PSI / (1000 * REVOLUTION / 60)), ""),
    (Unit("kPa/krpm", 1e3 / (1000 * REVOLUTION / 60)), ""),
)

_WRITTEN = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?(?:e[+-]?[0-9]+)?)(?: ?(\S.*))?")


def find_unit(dimension: str, spelling: str) -> Unit | None:
    """The unit a spelling means in a dimension: as written first, then without regard to case, spaces, dots
    and hyphens.
    """
    return DIMENSIONS[dimension].units.get(spelling) or _LOOSE[dimension].get(_loosen(spelling))


def to_si(text: str, dimension: str) -> float:
    """A number with its unit as rule files write it ("12 psi", "85 %", "8.5"), in SI; only exact spellings.

    Raises ValueError with a sentence naming what fits.
    """
    known = DIMENSIONS[dimension]
    match = _WRITTEN.fullmatch(text)
    unit = known.units.get(match[2] or "") if match else None
    value = float(match[1]) * unit.factor + unit.offset if match and unit and unit.place is None else math.nan
    if not math.isfinite(value):
        raise ValueError(f"{known.phrase} is written as {offer(dimension)}.")
    return value


def from_si(value: float, dimension: str, unit: str) -> float:
    """The number that stands before a unit of the table; raises KeyError for a unit the dimension lacks."""
    known = DIMENSIONS[dimension].units[unit]
    return (value - known.offset) / known.factor


def offer(dimension: str) -> str:
    """What fits, in words: "a number with psi, bar or kPa", "a plain number or %"."""
    known = DIMENSIONS[dimension]
    words = [word for word in known.offered if word]
    listed = " or ".join(filter(None, [", ".join(words[:-1]), "".join(words[-1:])]))
    if known.plain:
        return f"a plain number or a number with {listed}" if words else "a plain number"
    return f"a number with {listed}"
