"""Burned fraction as a function of burn progress, 0 at the start of burn and 1 at its end."""

import numpy as np

from service.physics.arrays import FloatOrArray
from service.physics.recipe import WIEBE_EFFICIENCY, WIEBE_FORM


def burned_fraction(progress: FloatOrArray) -> FloatOrArray:
    """Burned fraction by the Wiebe function.

    Parameters
    ----------
    progress : float or array, share of the burn duration that has passed, 0 to 1 [-]

    Returns
    -------
    fraction : float or array; 0.9933 at progress 1, the rest counts as unburned [-]

    References
    ----------
    Wiebe form with a = 5, m = 2, from memory (Heywood, Internal Combustion Engine Fundamentals, 1988).

    Examples
    --------
    At the end all but exp(-a) is burned.

    >>> round(float(burned_fraction(1.0)), 4)
    0.9933
    """
    return -np.expm1(-WIEBE_EFFICIENCY * progress ** (WIEBE_FORM + 1.0))


def burn_rate(progress: FloatOrArray) -> FloatOrArray:
    """Derivative of the burned fraction with respect to progress.

    Parameters
    ----------
    progress : float or array, 0 to 1 [-]

    Returns
    -------
    rate : float or array [-]

    References
    ----------
    As burned_fraction.
    """
    order = WIEBE_FORM + 1.0
    return WIEBE_EFFICIENCY * order * progress**WIEBE_FORM * np.exp(-WIEBE_EFFICIENCY * progress**order)


def progress_at(fraction: FloatOrArray) -> FloatOrArray:
    """Progress at which a burned fraction is reached; 0.5175 for one half.

    Parameters
    ----------
    fraction : float or array, from 0 to below 1 [-]

    Returns
    -------
    progress : float or array [-]

    References
    ----------
    As burned_fraction.
    """
    return (-np.log1p(-fraction) / WIEBE_EFFICIENCY) ** (1.0 / (WIEBE_FORM + 1.0))
