"""Pulls brought to a standard's weather: dry pressure, the factors of the standards, and how far each may be believed."""

from dataclasses import dataclass
from math import exp, sqrt

INCH_OF_MERCURY = 3386.389  # Pa
# Beyond this a corrected figure is suspect and is compared with nothing from another place (common practice).
BELIEVED_WITHIN = 0.03
# What type-approval texts allow a correction to be.
STANDARD_RANGE = (0.93, 1.07)


def vapour_pressure(temperature: float) -> float:
    """Pressure of saturated water vapour over water.

    temperature: K, 273 to 323. Result: Pa. Errors: none; outside the range it drifts by more than 0.1 %.
    Source: Buck, new equations for computing vapor pressure, Journal of Applied Meteorology 20, 1981, in its 1996 form: from memory.
    """
    celsius = temperature - 273.15
    return 611.21 * exp((18.678 - celsius / 234.5) * celsius / (257.14 + celsius))


def dry_pressure(pressure: float, temperature: float, humidity: float) -> float:
    """The part of the air pressure that is air. pressure: absolute, Pa; temperature: K; humidity: 0 to 1. Result: Pa. Source: Dalton."""
    return pressure - humidity * vapour_pressure(temperature)


def sae_j1349_1990(dry: float, temperature: float) -> float:
    """Factor for 99 kPa dry and 25 degC, 85 % mechanical efficiency. dry: Pa; temperature: K. Valid 0.93 to 1.07. Source: SAE J1349, June 1990."""
    return 1.18 * (99000.0 / dry) * sqrt(temperature / 298.0) - 0.18


def sae_j1349_2004(dry: float, temperature: float) -> float:
    """As sae_j1349_1990 with 15 % friction. Source: SAE J1349, August 2004: constants from memory."""
    return 1.176 * (99000.0 / dry) * sqrt(temperature / 298.0) - 0.176


def iso_1585(dry: float, temperature: float) -> float:
    """Factor for 99 kPa dry and 298 K, spark ignition, natural or mechanically supercharged. dry: Pa; temperature: K. Valid 0.93 to 1.07. Source: ISO 1585; scope from memory."""
    return (99000.0 / dry) ** 1.2 * (temperature / 298.0) ** 0.6


def din_70020(pressure: float, temperature: float) -> float:
    """Factor for 1013 mbar and 20 degC; takes the whole barometer, vapour included. pressure: Pa; temperature: K. Source: DIN 70020, after the Automotive Handbook, 4th edition, 1996."""
    return (101300.0 / pressure) * sqrt(temperature / 293.0)


def sixty_fahrenheit(dry: float, temperature: float) -> float:
    """The old factor for 29.92 inHg dry and 60 degF, about 4 % kinder than SAE J1349. dry: Pa; temperature: K. Source: SAE J607."""
    return (29.92 * INCH_OF_MERCURY / dry) * sqrt(temperature * 9 / 5 / 519.7)


STANDARDS = {
    "sae_j1349_june_1990": ("SAE J1349, June 1990", sae_j1349_1990, True),
    "sae_j1349_august_2004": ("SAE J1349, August 2004", sae_j1349_2004, True),
    "iso_1585": ("ISO 1585", iso_1585, True),
    "din_70020": ("DIN 70020", din_70020, False),
    "sixty_fahrenheit": ("the old 60 degF standard", sixty_fahrenheit, True),
}
"""Word -> name, factor, whether it takes the dry pressure."""


@dataclass(frozen=True, slots=True)
class Correction:
    """One standard's factor for one weather, and what is to be said of it."""

    word: str
    name: str
    factor: float
    within_range: bool
    comparable: bool


def corrections(pressure: float, temperature: float, humidity: float) -> list[Correction]:
    """Every standard's factor. pressure: absolute with its vapour, Pa; temperature: K; humidity: 0 to 1."""
    dry = dry_pressure(pressure, temperature, humidity)
    if not 0 < dry:
        raise ValueError("more vapour than air")
    made = []
    for word, (name, factor_of, takes_dry) in STANDARDS.items():
        factor = factor_of(dry if takes_dry else pressure, temperature)
        made.append(Correction(word, name, factor, STANDARD_RANGE[0] <= factor <= STANDARD_RANGE[1], abs(factor - 1) <= BELIEVED_WITHIN))
    return made
