"""Liquid through a fixed orifice, such as an open injector: flow goes with the square root of the pressure drop."""

import numpy as np


def mass_flow(rated_flow, rated_drop, drop, rated_density=1.0, density=1.0):
    """
    Mass flow at another pressure drop and density.

    rated_flow: at rated_drop and rated_density, any mass flow unit; rated_drop, drop: one pressure unit, drop not
    negative; rated_density, density: one density unit (leave both out for the same fluid). Shapes broadcast.
    Result: unit of rated_flow. Limits: incompressible, discharge coefficient unchanged. Source: Bernoulli.
    """
    return rated_flow * np.sqrt(drop / rated_drop * (density / rated_density))


def volume_flow(rated_flow, rated_drop, drop, rated_density=1.0, density=1.0):
    """Volume flow at another pressure drop and density, unit of rated_flow; arguments as mass_flow."""
    return rated_flow * np.sqrt(drop / rated_drop * (rated_density / density))
