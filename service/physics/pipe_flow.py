"""Flow of a liquid through a straight round pipe."""

import numpy as np

from service.physics.arrays import FloatOrArray

LAMINAR_LIMIT = 2300.0  # Reynolds number, common practice


def velocity(flow: FloatOrArray, bore: FloatOrArray) -> FloatOrArray:
    """Mean velocity of a flow through a bore.

    Parameters
    ----------
    flow : float or array [m3/s]
    bore : float or array [m]

    Returns
    -------
    velocity : float or array [m/s]

    References
    ----------
    Definition.
    """
    return flow / (np.pi / 4.0 * bore**2)


def reynolds_number(flow: FloatOrArray, bore: FloatOrArray, viscosity: FloatOrArray) -> FloatOrArray:
    """Reynolds number of a flow through a bore.

    Parameters
    ----------
    flow : float or array [m3/s]
    bore : float or array [m]
    viscosity : float or array, kinematic [m2/s]

    Returns
    -------
    reynolds : float or array [-]

    References
    ----------
    Definition.
    """
    return velocity(flow, bore) * bore / viscosity


def friction_factor(reynolds: FloatOrArray, relative_roughness: FloatOrArray) -> FloatOrArray:
    """Darcy friction factor.

    Parameters
    ----------
    reynolds : float or array, above 0, else the result is not a number [-]
    relative_roughness : float or array, roughness over bore [-]

    Returns
    -------
    factor : float or array [-]

    Notes
    -----
    Turbulent branch within 3 % of Colebrook for 5e3 < reynolds < 1e8 and relative roughness 1e-6 to 1e-2;
    between 2,300 and 5,000 it is used as the safe side.

    References
    ----------
    Swamee & Jain, Journal of the Hydraulics Division ASCE 102 (1976) (from memory); laminar 64/reynolds.

    Examples
    --------
    >>> float(friction_factor(2000.0, 1e-4)) == 64.0 / 2000.0
    True
    """
    # A negative number to a broken power would be complex.
    reynolds = np.where(np.greater(reynolds, 0.0), reynolds, np.nan)
    turbulent = 0.25 / np.log10(relative_roughness / 3.7 + 5.74 / reynolds**0.9) ** 2
    return np.where(np.less(reynolds, LAMINAR_LIMIT), 64.0 / reynolds, turbulent)[()]


def pressure_drop(
    flow: FloatOrArray,
    bore: FloatOrArray,
    length: FloatOrArray,
    density: FloatOrArray,
    viscosity: FloatOrArray,
    roughness: FloatOrArray,
) -> FloatOrArray:
    """Pressure lost to friction along a pipe (Darcy).

    Parameters
    ----------
    flow : float or array, above 0 [m3/s]
    bore : float or array [m]
    length : float or array [m]
    density : float or array [kg/m3]
    viscosity : float or array, kinematic [m2/s]
    roughness : float or array, height of it [m]

    Returns
    -------
    pressure_drop : float or array, difference [Pa]

    Notes
    -----
    No bends, no fittings, no vapour.

    References
    ----------
    Darcy-Weisbach.
    """
    factor = friction_factor(reynolds_number(flow, bore, viscosity), roughness / bore)
    return factor * length / bore * density * velocity(flow, bore) ** 2 / 2.0
