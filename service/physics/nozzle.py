"""Flow of a perfect gas through a converging nozzle."""

from typing import NamedTuple

import numpy as np

from service.physics.arrays import FloatOrArray
from service.physics.gas import AIR, Gas


class GasState(NamedTuple):
    """Absolute pressure [Pa] and temperature [K] of a gas."""

    pressure: FloatOrArray
    temperature: FloatOrArray


def critical_pressure_ratio(heat_capacity_ratio: float = AIR.heat_capacity_ratio) -> float:
    """Back pressure over stagnation pressure below which a nozzle is choked.

    Parameters
    ----------
    heat_capacity_ratio : float [-]

    Returns
    -------
    ratio : float [-]

    References
    ----------
    One-dimensional gas dynamics.

    Examples
    --------
    The figure of every textbook for air (from memory).

    >>> round(critical_pressure_ratio(), 3)
    0.528
    """
    exponent = heat_capacity_ratio / (heat_capacity_ratio - 1.0)
    ratio: float = (2.0 / (heat_capacity_ratio + 1.0)) ** exponent
    return ratio


def nozzle_flow(
    upstream: GasState,
    back_pressure: FloatOrArray,
    area: FloatOrArray,
    discharge_coefficient: FloatOrArray = 1.0,
    gas: Gas = AIR,
) -> FloatOrArray:
    """Mass flow through a converging nozzle, choked or not.

    Parameters
    ----------
    upstream : GasState, at rest
    back_pressure : float or array, absolute [Pa]
    area : float or array, of the throat [m2]
    discharge_coefficient : float or array [-]
    gas : Gas

    Returns
    -------
    flow : float or array [kg/s]

    Notes
    -----
    Back pressure at or below the pressure upstream; adiabatic, perfect gas.

    References
    ----------
    One-dimensional gas dynamics.

    Examples
    --------
    Cengel, Fluid Mechanics, Ex. 12-4 (data published, its result of 7.10 kg/s from memory).

    >>> flow = nozzle_flow(GasState(1.0456e6, 884.2), 0.4e6, 50e-4, gas=Gas(287.0, 1.4))
    >>> round(float(flow), 1)
    7.1
    """
    heat_capacity_ratio = gas.heat_capacity_ratio
    ratio = np.maximum(back_pressure / upstream.pressure, critical_pressure_ratio(heat_capacity_ratio))
    exponent = 1.0 - 1.0 / heat_capacity_ratio
    mach = np.sqrt(2.0 / (heat_capacity_ratio - 1.0) * (ratio**-exponent - 1.0))
    parameter = np.sqrt(heat_capacity_ratio) * mach * ratio ** (0.5 + 0.5 / heat_capacity_ratio)
    root = np.sqrt(gas.gas_constant * upstream.temperature)
    flow: FloatOrArray = discharge_coefficient * area * upstream.pressure / root * parameter
    return flow


def choked_flow(
    upstream: GasState, area: FloatOrArray, discharge_coefficient: FloatOrArray = 1.0
) -> FloatOrArray:
    """Largest mass flow of air that a nozzle passes.

    Parameters
    ----------
    upstream : GasState, at rest
    area : float or array, of the throat [m2]
    discharge_coefficient : float or array [-]

    Returns
    -------
    flow : float or array [kg/s]

    References
    ----------
    As nozzle_flow.
    """
    return nozzle_flow(upstream, 0.0, area, discharge_coefficient)
