"""State of the charge at intake closing, octane index of the fuel in it, and burn duration."""

from typing import NamedTuple

import numpy as np

from service.physics.arrays import FloatOrArray


class WeightLine(NamedTuple):
    """Weight of fuel sensitivity over temperature: a point [-], [K], a slope [1/K], and its ends [-]."""

    weight: FloatOrArray
    temperature: FloatOrArray
    slope: FloatOrArray
    lowest: FloatOrArray
    highest: FloatOrArray


def closing_temperature(
    manifold_temperature: FloatOrArray,
    manifold_share: FloatOrArray,
    surface_temperature: FloatOrArray,
    change: FloatOrArray = 0.0,
    floor: FloatOrArray = 0.0,
) -> FloatOrArray:
    """Temperature of the charge when the intake valve closes.

    Parameters
    ----------
    manifold_temperature : float or array [K]
    manifold_share : float or array, weight of the manifold, 0 to 1 [-]
    surface_temperature : float or array, of the metal the charge meets [K]
    change : float or array, added for evaporation and the like [K]
    floor : float or array, lowest result allowed [K]

    Returns
    -------
    temperature : float or array [K]

    Notes
    -----
    Warm engine, full load.

    References
    ----------
    Own rule, computed; the coefficients come from the caller.
    """
    mixed = manifold_share * manifold_temperature + (1.0 - manifold_share) * surface_temperature
    return np.maximum(mixed + change, floor)


def evaporation_heat(
    vaporisation_heat: FloatOrArray, stoichiometric_ratio: FloatOrArray, air_fuel_lambda: FloatOrArray
) -> FloatOrArray:
    """Heat that the fuel takes up, per mass of air.

    Parameters
    ----------
    vaporisation_heat : float or array, per mass of fuel [J/kg]
    stoichiometric_ratio : float or array, air over fuel by mass [-]
    air_fuel_lambda : float or array, air over stoichiometric air [-]

    Returns
    -------
    heat : float or array, per mass of air [J/kg]

    References
    ----------
    Definition.
    """
    return vaporisation_heat / (stoichiometric_ratio * air_fuel_lambda)


def evaporation_change(
    heat_per_air: FloatOrArray, share: FloatOrArray, allowed_for: FloatOrArray, heat_capacity: FloatOrArray
) -> FloatOrArray:
    """Change of the closing temperature by evaporation inside the port or cylinder.

    Parameters
    ----------
    heat_per_air : float or array, see evaporation_heat [J/kg]
    share : float or array, part of it taken from the charge, 0 to 1 [-]
    allowed_for : float or array, what the rule for the closing temperature holds already [J/kg]
    heat_capacity : float or array, of the charge [J/(kg K)]

    Returns
    -------
    change : float or array, negative where it cools [K]

    References
    ----------
    Heat balance; the share is from memory.
    """
    return (allowed_for - share * heat_per_air) / heat_capacity


def evaporation_ahead_of_compressor(
    heat_per_air: FloatOrArray, share: FloatOrArray, heat_capacity: FloatOrArray
) -> FloatOrArray:
    """Fall of the manifold temperature by fuel ahead of the compressor.

    Parameters
    ----------
    heat_per_air : float or array, see evaporation_heat [J/kg]
    share : float or array, part of it taken from the air, 0 to 1 [-]
    heat_capacity : float or array, of the charge [J/(kg K)]

    Returns
    -------
    fall : float or array [K]

    References
    ----------
    Heat balance; the share is from memory.
    """
    return share * heat_per_air / heat_capacity


def sensitivity_weight(manifold_temperature: FloatOrArray, line: WeightLine) -> FloatOrArray:
    """Weight K of fuel sensitivity in the octane index.

    Parameters
    ----------
    manifold_temperature : float or array [K]
    line : WeightLine

    Returns
    -------
    weight : float or array [-]

    Notes
    -----
    Boosted engines.

    References
    ----------
    Own suggestion, computed; the coefficients come from the caller.
    """
    weight = line.weight + line.slope * (manifold_temperature - line.temperature)
    return np.minimum(np.maximum(weight, line.lowest), line.highest)


def octane_index(
    research_octane: FloatOrArray, motor_octane: FloatOrArray, weight: FloatOrArray
) -> FloatOrArray:
    """Octane number that a fuel shows in a given engine.

    Parameters
    ----------
    research_octane : float or array, RON [octane number]
    motor_octane : float or array, MON [octane number]
    weight : float or array, K of the engine [-]

    Returns
    -------
    octane_index : float or array [octane number]

    References
    ----------
    Octane index of Kalghatgi (formula from memory).

    Examples
    --------
    K is 0 in the research and 1 in the motor test (Zhou et al., SAE 2017-01-0666, 2017).

    >>> octane_index(95.0, 85.0, 0.0), octane_index(95.0, 85.0, 1.0)
    (95.0, 85.0)
    """
    return research_octane - weight * (research_octane - motor_octane)


def burn_duration(
    duration_at_reference: FloatOrArray,
    speed: FloatOrArray,
    reference_speed: FloatOrArray,
    exponent: FloatOrArray,
) -> FloatOrArray:
    """Burn duration at a speed.

    Parameters
    ----------
    duration_at_reference : float or array [rad]
    speed : float or array [rad/s]
    reference_speed : float or array [rad/s]
    exponent : float or array [-]

    Returns
    -------
    duration : float or array [rad]

    Notes
    -----
    Full load.

    References
    ----------
    Own suggestion, from memory; the coefficients come from the caller.
    """
    return duration_at_reference * (speed / reference_speed) ** exponent
