"""Flow of a liquid through a straight round pipe."""

import numpy as np

LAMINAR_LIMIT = 2300.0  # Reynolds number, common practice


def velocity(volume_flow, bore):
    """Mean velocity, m/s, of a flow in m3/s through a bore in m; shapes broadcast."""
    return volume_flow / (np.pi / 4.0 * bore**2)


def reynolds_number(volume_flow, bore, kinematic_viscosity):
    """Reynolds number of a flow in m3/s through a bore in m, kinematic viscosity in m2/s."""
    return velocity(volume_flow, bore) * bore / kinematic_viscosity


def friction_factor(reynolds, relative_roughness):
    """
    Darcy friction factor.

    reynolds: above 0, else the result is not a number; relative_roughness: roughness over bore. Shapes broadcast. Result: -.
    Limits: turbulent branch within 3 % of Colebrook for 5e3 < reynolds < 1e8 and relative roughness 1e-6 to 1e-2;
    between 2,300 and 5,000 it is used as the safe side.
    Source: Swamee & Jain, Journal of the Hydraulics Division ASCE 102 (1976) (from memory); laminar 64/reynolds.
    """
    # A negative number to a broken power would be complex.
    reynolds = np.where(np.greater(reynolds, 0.0), reynolds, np.nan)
    turbulent = 0.25 / np.log10(relative_roughness / 3.7 + 5.74 / reynolds**0.9) ** 2
    return np.where(np.less(reynolds, LAMINAR_LIMIT), 64.0 / reynolds, turbulent)[()]


def pressure_drop(volume_flow, bore, length, density, kinematic_viscosity, roughness):
    """
    Pressure lost to friction along a pipe (Darcy).

    volume_flow: m3/s, above 0; bore, length, roughness: m; density: kg/m3; kinematic_viscosity: m2/s.
    Shapes broadcast. Result: Pa. Limits: no bends, no fittings, no vapour. Source: Darcy-Weisbach.
    """
    factor = friction_factor(reynolds_number(volume_flow, bore, kinematic_viscosity), roughness / bore)
    return factor * length / bore * density * velocity(volume_flow, bore) ** 2 / 2.0
