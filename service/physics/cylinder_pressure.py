"""Pressure in the cylinder over the crank angle, and its peak."""

from typing import NamedTuple

import numpy as np

from service.physics import recipe
from service.physics.arrays import FloatOrArray
from service.physics.cycle import (
    BURN_SLOPE,
    COMPRESSION_SLOPE,
    PROGRESS,
    WEIGHTS,
    Burn,
    burn_history,
    motored_pressure,
    start_of_burn,
)
from service.physics.quadrature import interpolation
from service.physics.slider_crank import volume_ratio
from service.physics.wiebe import burn_rate

_FINE_PROGRESS = np.linspace(0.0, 1.0, 65)
_TO_FINE = interpolation(PROGRESS, _FINE_PROGRESS)


class PeakPressure(NamedTuple):
    """Highest cylinder pressure [Pa], and its crank angle after top dead centre [rad]."""

    pressure: FloatOrArray
    angle: FloatOrArray


def cylinder_pressure(angle: FloatOrArray, manifold_pressure: FloatOrArray, burn: Burn) -> FloatOrArray:
    """Pressure at any crank angle of the two strokes.

    Parameters
    ----------
    angle : float or array, after top dead centre, from -pi to pi [rad]
    manifold_pressure : float or array, absolute [Pa]
    burn : Burn

    Returns
    -------
    pressure : float or array, absolute [Pa]

    Notes
    -----
    As burn_history.

    References
    ----------
    As burn_history.
    """
    start = start_of_burn(burn.phasing, burn.duration)
    progress = np.clip((angle - start) / burn.duration, 0.0, 1.0)
    last_unburned = np.minimum(angle, start)
    at_start = volume_ratio(last_unburned, burn.compression_ratio, burn.rod_ratio)
    nodes = np.asarray(progress)[..., None] * PROGRESS
    columns = (start, burn.duration, burn.compression_ratio, burn.rod_ratio)
    start_column, duration, ratio, rod = (np.asarray(each)[..., None] for each in columns)
    volume = np.asarray(volume_ratio(start_column + duration * nodes, ratio, rod))
    integral = progress * ((volume**BURN_SLOPE * burn_rate(nodes)) @ WEIGHTS)
    constant = at_start ** (BURN_SLOPE - COMPRESSION_SLOPE) + BURN_SLOPE * burn.heat * integral
    now = volume_ratio(angle, burn.compression_ratio, burn.rod_ratio)
    burning = constant * now**-recipe.BURN_EXPONENT
    return manifold_pressure * np.where(angle > start, burning, now**-recipe.COMPRESSION_EXPONENT)


def peak_pressure(
    manifold_pressure: FloatOrArray,
    phasing: FloatOrArray,
    compression_ratio: FloatOrArray,
    rod_ratio: FloatOrArray,
    burn_duration: FloatOrArray,
    heat_ratio: FloatOrArray,
) -> PeakPressure:
    """Highest cylinder pressure and where it stands.

    Parameters
    ----------
    manifold_pressure : float or array, absolute [Pa]
    phasing : float or array, 50 % burned after top dead centre [rad]
    compression_ratio : float or array [-]
    rod_ratio : float or array, rod length over stroke [-]
    burn_duration : float or array, 0 to 100 % burned [rad]
    heat_ratio : float or array, see heat_ratio() [-]

    Returns
    -------
    pressure : float or array, absolute [Pa]
    angle : float or array, after top dead centre [rad]

    Notes
    -----
    The burn ends after top dead centre. One that starts after top dead centre may stay below the pressure of
    compression; then that one is given, at top dead centre. This cycle reads low against engines.

    References
    ----------
    As burn_history.
    """
    burn = Burn(phasing, compression_ratio, rod_ratio, burn_duration, heat_ratio)
    history = burn_history(burn)
    fine = np.exp(history.log_pressure @ _TO_FINE)
    index = np.clip(fine.argmax(-1), 1, len(_FINE_PROGRESS) - 2)[..., None]
    before, top, after = (np.take_along_axis(fine, index + shift, -1)[..., 0] for shift in (-1, 0, 1))
    # Vertex of the parabola through the three highest points, kept between the outer two.
    slope, bend = (after - before) / 2.0, before - 2.0 * top + after
    shift = np.clip(-slope / bend, -1.0, 1.0)
    burned_peak = top + slope * shift + bend * shift**2 / 2.0
    burned_angle = history.start + burn_duration * (index[..., 0] + shift) * _FINE_PROGRESS[1]
    last_unburned = np.minimum(history.start, 0.0)
    compressed_peak = motored_pressure(last_unburned, compression_ratio, rod_ratio)
    burned_wins = burned_peak >= compressed_peak
    pressure = np.where(burned_wins, burned_peak, compressed_peak)
    return PeakPressure(manifold_pressure * pressure, np.where(burned_wins, burned_angle, last_unburned)[()])
