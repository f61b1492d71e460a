"""Standard atmosphere below 11 km."""

import numpy as np

from service.physics.gas import AIR_GAS_CONSTANT

# ISO 2533:1975, Standard Atmosphere (values from memory).
SEA_LEVEL_PRESSURE = 101325.0  # Pa
SEA_LEVEL_TEMPERATURE = 288.15  # K
_LAPSE_RATE = 0.0065  # K/m
_GRAVITY = 9.80665  # m/s2
_EARTH_RADIUS = 6_356_766.0  # m
_PRESSURE_EXPONENT = _GRAVITY / (AIR_GAS_CONSTANT * _LAPSE_RATE)
_LOWEST, _HIGHEST = -2000.0, 11000.0  # m


def temperature(altitude):
    """
    Temperature of the standard atmosphere.

    altitude: geometric height above sea level, m, any shape. Result: K.
    Errors: ValueError outside -2 to 11 km. Source: ISO 2533:1975 (from memory).
    """
    if np.any(np.less(altitude, _LOWEST)) or np.any(np.greater(altitude, _HIGHEST)):
        raise ValueError("altitude must lie between -2 and 11 km")
    geopotential = _EARTH_RADIUS * altitude / (_EARTH_RADIUS + altitude)
    return SEA_LEVEL_TEMPERATURE - _LAPSE_RATE * geopotential


def pressure(altitude):
    """
    Pressure of the standard atmosphere.

    altitude: geometric height above sea level, m, any shape. Result: Pa.
    Errors: ValueError outside -2 to 11 km. Source: ISO 2533:1975 (from memory).
    """
    return SEA_LEVEL_PRESSURE * (temperature(altitude) / SEA_LEVEL_TEMPERATURE) ** _PRESSURE_EXPONENT
