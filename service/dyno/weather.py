"""Pulls brought to a standard's weather: dry pressure, the factors of the standards, and how far each may be
believed.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, inf, sqrt

INCH_OF_MERCURY = 3386.389  # Pa
# Beyond this a corrected figure is suspect and is compared with nothing from another place (common practice).
BELIEVED_WITHIN = 0.03
# The standards are printed with degC + 273 and degF + 459.7; a true absolute temperature would make 25 degC
# 0.03 % too warm for them.
PRINTED_KELVIN, PRINTED_RANKINE = -0.15, 0.03


def vapour_pressure(temperature: float) -> float:
    """Pressure of saturated water vapour over water.

    temperature: K, 273 to 323. Result: Pa. Errors: none; outside the range it drifts by more than 0.1 %.
    Source: Buck, new equations for computing vapor pressure, Journal of Applied Meteorology 20, 1981, in its
    1996 form: from memory.
    """
    celsius = temperature - 273.15
    return 611.21 * exp((18.678 - celsius / 234.5) * celsius / (257.14 + celsius))


def dry_pressure(pressure: float, temperature: float, humidity: float) -> float:
    """The part of the air pressure that is air.

    pressure: absolute, Pa; temperature: K; humidity: 0 to 1. Result: Pa. Source: Dalton.
    """
    return pressure - humidity * vapour_pressure(temperature)


def sae_j1349_1990(dry: float, temperature: float) -> float:
    """Factor for 99 kPa dry and 25 degC, 85 % mechanical efficiency.

    dry: Pa; temperature: K. Valid 0.93 to 1.07. Source: SAE J1349, June 1990.
    """
    return 1.18 * (99000.0 / dry) * sqrt((temperature + PRINTED_KELVIN) / 298.0) - 0.18


def sae_j1349_2004(dry: float, temperature: float) -> float:
    """As sae_j1349_1990 with 15 % friction. Source: SAE J1349, August 2004: constants from memory."""
    return 1.176 * (99000.0 / dry) * sqrt((temperature + PRINTED_KELVIN) / 298.0) - 0.176


def iso_1585(dry: float, temperature: float) -> float:
    """Factor for 99 kPa dry and 298 K, spark ignition, natural or mechanically supercharged.

    dry: Pa; temperature: K. Valid 0.93 to 1.07. Source: ISO 1585; scope from memory.
    """
    return float((99000.0 / dry) ** 1.2 * ((temperature + PRINTED_KELVIN) / 298.0) ** 0.6)


def din_70020(pressure: float, temperature: float) -> float:
    """Factor for 1013 mbar and 20 degC; takes the whole barometer, vapour included.

    pressure: Pa; temperature: K. Source: DIN 70020, after the Automotive Handbook, 4th edition, 1996.
    """
    return (101300.0 / pressure) * sqrt((temperature + PRINTED_KELVIN) / 293.0)


def sixty_fahrenheit(dry: float, temperature: float) -> float:
    """The old factor for 29.92 inHg dry and 60 degF, about 4 % kinder than SAE J1349.

    dry: Pa; temperature: K. Source: SAE J607.
    """
    return (29.92 * INCH_OF_MERCURY / dry) * sqrt((1.8 * temperature + PRINTED_RANKINE) / 519.7)


@dataclass(frozen=True, slots=True)
class Standard:
    """A standard: its factor, whether that takes the dry pressure, and what it is meant for.

    Ranges of the factor, of the pressure taken in Pa and of the temperature in K.
    """

    name: str
    factor: Callable[[float, float], float]
    dry: bool
    factors: tuple[float, float]
    pressures: tuple[float, float]
    temperatures: tuple[float, float]


# Factor 0.93 to 1.07 as UN Regulation 85 has it; the other ranges are from memory, those of the last two
# common practice.
_MILD = (288.15, 308.15)
STANDARDS = {
    "sae_j1349_june_1990": Standard(
        "SAE J1349, June 1990", sae_j1349_1990, True, (0.93, 1.07), (95e3, 101e3), _MILD
    ),
    "sae_j1349_august_2004": Standard(
        "SAE J1349, August 2004", sae_j1349_2004, True, (0.97, 1.03), (90e3, 105e3), _MILD
    ),
    "iso_1585": Standard("ISO 1585", iso_1585, True, (0.93, 1.07), (80e3, 110e3), _MILD),
    "din_70020": Standard("DIN 70020", din_70020, False, (0.97, 1.03), (0.0, inf), (0.0, inf)),
    "sixty_fahrenheit": Standard(
        "the old 60 degF standard", sixty_fahrenheit, True, (0.97, 1.03), (0.0, inf), (0.0, inf)
    ),
}


@dataclass(frozen=True, slots=True)
class Correction:
    """One standard's factor for one weather; `outside`: in plain words what it is not meant for, empty inside
    its range.
    """

    word: str
    name: str
    factor: float
    outside: str

    @property
    def comparable(self) -> bool:
        """Whether the figure may stand beside one from another place."""
        return not self.outside and abs(self.factor - 1) <= BELIEVED_WITHIN


def corrections(pressure: float, temperature: float, humidity: float) -> list[Correction]:
    """Every standard's factor. pressure: absolute with its vapour, Pa; temperature: K; humidity: 0 to 1."""
    dry = dry_pressure(pressure, temperature, humidity)
    if not dry > 0:
        raise ValueError("more vapour than air")
    return [
        _correction(word, standard, dry if standard.dry else pressure, temperature)
        for word, standard in STANDARDS.items()
    ]


def _correction(word: str, standard: Standard, pressure: float, temperature: float) -> Correction:
    factor = standard.factor(pressure, temperature)
    held = (
        ("factor", factor, standard.factors),
        ("air pressure", pressure, standard.pressures),
        ("air temperature", temperature, standard.temperatures),
    )
    beyond = [what for what, value, (low, high) in held if not low <= value <= high]
    verb = "is" if len(beyond) == 1 else "are"
    text = f"The {' and the '.join(beyond)} {verb} outside what this standard is meant for." if beyond else ""
    return Correction(word, standard.name, factor, text)
