"""Electric pump at another voltage."""

import numpy as np


def flow_at_voltage(rated_flow, free_flow, voltage, rated_voltage):
    """
    Flow of a pump whose curve is known: a lower voltage takes off a flow, not a share.

    rated_flow: at the pressure asked for and rated_voltage; free_flow: at no pressure and rated_voltage, same unit;
    voltage, rated_voltage: at the pump, V. Shapes broadcast. Result: unit of rated_flow, never below 0.
    Limits: voltage near rated (11 to 14 V of a 13.5 V pump). Source: computed from one pump, common practice.
    """
    return np.maximum(rated_flow - free_flow * (1.0 - voltage / rated_voltage), 0.0)


def flow_at_voltage_without_curve(rated_flow, pressure, voltage, rated_voltage, exponent_pressures, exponents):
    """
    Flow of a pump whose curve is not known: flow goes with a power of the voltage that rises with pressure.

    rated_flow: at pressure and rated_voltage; pressure, exponent_pressures: one unit, the latter rising, shape (n,);
    exponents: (n,), straight between and constant beyond the ends. Result: unit of rated_flow.
    Limits and source: as flow_at_voltage; exponents come from the caller.
    """
    return rated_flow * (voltage / rated_voltage) ** np.interp(pressure, exponent_pressures, exponents)


def hydraulic_power(volume_flow, pressure_rise):
    """Power given to the liquid, W, from m3/s and Pa."""
    return volume_flow * pressure_rise
