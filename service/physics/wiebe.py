"""Burned fraction as a function of burn progress, 0 at the start of burn and 1 at its end."""

import numpy as np

from service.physics.recipe import WIEBE_EFFICIENCY, WIEBE_FORM


def burned_fraction(progress):
    """
    Wiebe function.

    progress: share of the burn duration that has passed, [0, 1], any shape.
    Result: burned fraction, same shape; 0.9933 at progress 1 (the rest counts as unburned).
    Source: Wiebe form with a = 5, m = 2, from memory (Heywood, 1988).
    """
    return -np.expm1(-WIEBE_EFFICIENCY * progress ** (WIEBE_FORM + 1.0))


def burn_rate(progress):
    """Derivative of the burned fraction with respect to progress; any shape."""
    order = WIEBE_FORM + 1.0
    return WIEBE_EFFICIENCY * order * progress**WIEBE_FORM * np.exp(-WIEBE_EFFICIENCY * progress**order)


def progress_at(fraction):
    """Progress at which a burned fraction in [0, 1) is reached; 0.5175 for one half."""
    return (-np.log1p(-fraction) / WIEBE_EFFICIENCY) ** (1.0 / (WIEBE_FORM + 1.0))
