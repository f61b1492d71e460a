"""Effectiveness of heat exchangers from the number of transfer units.

Transfer units are UA over the smaller capacity rate; the capacity ratio is smaller over larger capacity rate.
"""

import numpy as np

from service.physics.arrays import FloatOrArray


def counterflow(transfer_units: FloatOrArray, capacity_ratio: FloatOrArray) -> FloatOrArray:
    """Effectiveness in counterflow.

    Parameters
    ----------
    transfer_units : float or array, above 0 [-]
    capacity_ratio : float or array, above 0 and up to 1 [-]

    Returns
    -------
    effectiveness : float or array, 0 to 1 [-]

    References
    ----------
    Kays & London, Compact Heat Exchangers (from memory).
    """
    # At equal capacity rates the formula is 0/0; its limit is N/(1 + N).
    balanced = np.equal(capacity_ratio, 1.0)
    difference = np.where(balanced, 0.5, 1.0 - capacity_ratio)
    # expm1 keeps the digits when the capacity rates are almost equal.
    spent = -np.expm1(-transfer_units * difference)
    unequal = spent / (spent + difference * (1.0 - spent))
    return np.where(balanced, transfer_units / (1.0 + transfer_units), unequal)[()]


def crossflow_unmixed(transfer_units: FloatOrArray, capacity_ratio: FloatOrArray) -> FloatOrArray:
    """Effectiveness in crossflow, both streams unmixed.

    Parameters
    ----------
    transfer_units : float or array, above 0 [-]
    capacity_ratio : float or array, above 0 and up to 1 [-]

    Returns
    -------
    effectiveness : float or array, 0 to 1 [-]

    Notes
    -----
    Closed approximation: within 1.7 % of the exact series from 1 to 6 transfer units; reads up to 3.8 % low
    below 1.

    References
    ----------
    Kays & London, Compact Heat Exchangers (from memory).
    """
    inner = np.exp(-capacity_ratio * transfer_units**0.78) - 1.0
    return 1.0 - np.exp(transfer_units**0.22 / capacity_ratio * inner)


def crossflow_smaller_mixed(transfer_units: FloatOrArray, capacity_ratio: FloatOrArray) -> FloatOrArray:
    """Effectiveness in crossflow, the stream of the smaller capacity rate mixed.

    Parameters
    ----------
    transfer_units : float or array, above 0 [-]
    capacity_ratio : float or array, above 0 and up to 1 [-]

    Returns
    -------
    effectiveness : float or array, 0 to 1 [-]

    References
    ----------
    Kays & London, Compact Heat Exchangers (from memory).
    """
    return 1.0 - np.exp(-(1.0 - np.exp(-capacity_ratio * transfer_units)) / capacity_ratio)


def crossflow_larger_mixed(transfer_units: FloatOrArray, capacity_ratio: FloatOrArray) -> FloatOrArray:
    """Effectiveness in crossflow, the stream of the larger capacity rate mixed.

    Parameters
    ----------
    transfer_units : float or array, above 0 [-]
    capacity_ratio : float or array, above 0 and up to 1 [-]

    Returns
    -------
    effectiveness : float or array, 0 to 1 [-]

    References
    ----------
    Kays & London, Compact Heat Exchangers (from memory).
    """
    return (1.0 - np.exp(-capacity_ratio * (1.0 - np.exp(-transfer_units)))) / capacity_ratio


def heat_flow(
    effectiveness: FloatOrArray,
    smaller_capacity_rate: FloatOrArray,
    hot_inlet: FloatOrArray,
    cold_inlet: FloatOrArray,
) -> FloatOrArray:
    """Heat flow of a heat exchanger.

    Parameters
    ----------
    effectiveness : float or array, 0 to 1 [-]
    smaller_capacity_rate : float or array [W/K]
    hot_inlet : float or array [K]
    cold_inlet : float or array [K]

    Returns
    -------
    heat : float or array [W]

    References
    ----------
    Definition of effectiveness.

    Examples
    --------
    Incropera, Ex. 11.3 (second-hand): gas from 300 to 100 degC heats 1 kg/s of water from 35 to 125 degC.

    >>> heat = heat_flow(200.0 / 265.0, 1.0 * 4197.0 * 90.0 / 200.0, 573.15, 308.15)
    >>> round(heat / 1e3, 1)
    377.7
    """
    return effectiveness * smaller_capacity_rate * (hot_inlet - cold_inlet)


def temperature_change(
    heat: FloatOrArray, mass_flow: FloatOrArray, heat_capacity: FloatOrArray
) -> FloatOrArray:
    """Rise or fall of a stream by a heat flow.

    Parameters
    ----------
    heat : float or array [W]
    mass_flow : float or array [kg/s]
    heat_capacity : float or array [J/(kg K)]

    Returns
    -------
    change : float or array [K]

    References
    ----------
    First law.
    """
    return heat / (mass_flow * heat_capacity)
