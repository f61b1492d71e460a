"""Standard atmosphere below 11 km."""

import numpy as np

from service.physics.arrays import FloatOrArray
from service.physics.gas import AIR

# ISO 2533:1975, Standard Atmosphere (values from memory).
SEA_LEVEL_PRESSURE = 101325.0  # Pa
SEA_LEVEL_TEMPERATURE = 288.15  # K
_LAPSE_RATE = 0.0065  # K/m
_GRAVITY = 9.80665  # m/s2
_EARTH_RADIUS = 6_356_766.0  # m
_PRESSURE_EXPONENT = _GRAVITY / (AIR.gas_constant * _LAPSE_RATE)
_LOWEST, _HIGHEST = -2000.0, 11000.0  # m


def temperature(altitude: FloatOrArray) -> FloatOrArray:
    """Temperature of the standard atmosphere.

    Parameters
    ----------
    altitude : float or array, geometric height above sea level [m]

    Returns
    -------
    temperature : float or array [K]

    Raises
    ------
    ValueError
        Outside -2 to 11 km.

    References
    ----------
    ISO 2533:1975, Standard Atmosphere (from memory).

    Examples
    --------
    >>> float(temperature(0.0))
    288.15
    """
    if np.any(np.less(altitude, _LOWEST)) or np.any(np.greater(altitude, _HIGHEST)):
        raise ValueError("altitude must lie between -2 and 11 km")
    geopotential = _EARTH_RADIUS * altitude / (_EARTH_RADIUS + altitude)
    return SEA_LEVEL_TEMPERATURE - _LAPSE_RATE * geopotential


def pressure(altitude: FloatOrArray) -> FloatOrArray:
    """Pressure of the standard atmosphere.

    Parameters
    ----------
    altitude : float or array, geometric height above sea level [m]

    Returns
    -------
    pressure : float or array, absolute [Pa]

    Raises
    ------
    ValueError
        Outside -2 to 11 km.

    References
    ----------
    ISO 2533:1975, Standard Atmosphere (from memory).

    Examples
    --------
    The table of the U.S. Standard Atmosphere, 1976, has 5.4048e4 Pa at 5 km (from memory).

    >>> f"{pressure(5000.0):.4e}"
    '5.4048e+04'
    """
    return SEA_LEVEL_PRESSURE * (temperature(altitude) / SEA_LEVEL_TEMPERATURE) ** _PRESSURE_EXPONENT
