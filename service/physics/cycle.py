"""Closed-form single-zone cycle from bottom dead centre to bottom dead centre.

Pressure is counted in units of the manifold pressure and volume in units of the volume at bottom dead centre,
so that only compression ratio, rod ratio, phasing, burn duration and the heat ratio remain. The bore drops
out. Before the start of burn p V**1.33 is constant. After it d(p V**1.30) = 0.30 V**0.30 dQ (first law with a
constant exponent), so p V**1.30 is known from one integral of V**0.30 over the burned fraction: no stepping.
"""

from typing import NamedTuple

import numpy as np

from service.physics import recipe
from service.physics.arrays import Array, FloatOrArray
from service.physics.quadrature import gauss_nodes, running_integral
from service.physics.slider_crank import volume_ratio
from service.physics.wiebe import burn_rate, burned_fraction, progress_at

COMPRESSION_SLOPE = recipe.COMPRESSION_EXPONENT - 1.0
BURN_SLOPE = recipe.BURN_EXPONENT - 1.0
_HALF_BURNED = progress_at(0.5)
_ALL_BURNED = burned_fraction(1.0)

# 16 nodes hold the octane requirement to 0.001; see tests/physics/test_end_gas.py.
PROGRESS, WEIGHTS = gauss_nodes(16)
_HEAT_TO_NODES = (running_integral(PROGRESS, np.append(PROGRESS, 1.0)) * burn_rate(PROGRESS)).T.copy()


class Burn(NamedTuple):
    """All that the shape of a cycle depends on.

    `phasing`: angle of 50 % burned after top dead centre [rad]; `compression_ratio` [-]; `rod_ratio`: rod
    length over stroke [-]; `duration`: 0 to 100 % burned [rad]; `heat`: see heat_ratio [-]. Arrays broadcast
    together.
    """

    phasing: FloatOrArray
    compression_ratio: FloatOrArray
    rod_ratio: FloatOrArray
    duration: FloatOrArray
    heat: FloatOrArray


class BurnHistory(NamedTuple):
    """
    The burn of one phasing on the nodes PROGRESS (last axis), in units of the state at bottom dead centre.

    `start_energy` and `final_energy` are p V at the start of burn and back at bottom dead centre.
    """

    start: Array
    start_energy: Array
    log_pressure: Array
    final_energy: Array


def start_of_burn(phasing: FloatOrArray, burn_duration: FloatOrArray) -> FloatOrArray:
    """Crank angle at which the burn starts.

    Parameters
    ----------
    phasing : float or array, 50 % burned after top dead centre [rad]
    burn_duration : float or array, 0 to 100 % burned [rad]

    Returns
    -------
    start : float or array, after top dead centre [rad]

    References
    ----------
    The Wiebe function, inverted.
    """
    return phasing - _HALF_BURNED * burn_duration


def motored_pressure(
    angle: FloatOrArray, compression_ratio: FloatOrArray, rod_ratio: FloatOrArray
) -> FloatOrArray:
    """Pressure over that at bottom dead centre, before the burn starts.

    Parameters
    ----------
    angle : float or array, of the crank after top dead centre [rad]
    compression_ratio : float or array [-]
    rod_ratio : float or array, rod length over stroke [-]

    Returns
    -------
    pressure : float or array, over that at bottom dead centre [-]

    References
    ----------
    Polytropic change; exponent of recipe.py, from memory.
    """
    return volume_ratio(angle, compression_ratio, rod_ratio) ** -recipe.COMPRESSION_EXPONENT


def burn_history(burn: Burn) -> BurnHistory:
    """Pressure during the burn, on the nodes PROGRESS.

    Parameters
    ----------
    burn : Burn

    Returns
    -------
    history : BurnHistory, `log_pressure` with one axis more than the fields of the burn

    Notes
    -----
    The burn starts and ends within the half turns around top dead centre.

    References
    ----------
    First law; exponents of recipe.py, from memory.
    """
    start = np.asarray(start_of_burn(burn.phasing, burn.duration))
    start_energy = volume_ratio(start, burn.compression_ratio, burn.rod_ratio) ** -COMPRESSION_SLOPE
    # V**0.30 at the start, by way of p V = V**-0.33.
    energy_constant = np.asarray(start_energy ** (1.0 - BURN_SLOPE / COMPRESSION_SLOPE))
    compression_ratio, rod_ratio, heat = (
        np.asarray(each)[..., None] for each in (burn.compression_ratio, burn.rod_ratio, burn.heat)
    )
    angle = start[..., None] + np.asarray(burn.duration)[..., None] * PROGRESS
    log_volume = np.log(volume_ratio(angle, compression_ratio, rod_ratio))
    constant = energy_constant[..., None] + BURN_SLOPE * heat * (
        np.exp(BURN_SLOPE * log_volume) @ _HEAT_TO_NODES
    )
    log_pressure = np.log(constant[..., :-1]) - recipe.BURN_EXPONENT * log_volume
    return BurnHistory(start, np.asarray(start_energy), log_pressure, constant[..., -1])


def gross_work_ratio(history: BurnHistory, heat: FloatOrArray) -> FloatOrArray:
    """Work of compression and expansion strokes over p V at bottom dead centre.

    Parameters
    ----------
    history : BurnHistory
    heat : float or array, see heat_ratio [-]

    Returns
    -------
    work : float or array, of the shape of the phasing [-]

    References
    ----------
    First law.
    """
    compression = (1.0 - history.start_energy) / COMPRESSION_SLOPE
    return compression + heat * _ALL_BURNED + (history.start_energy - history.final_energy) / BURN_SLOPE


def gross_mean_effective_pressure(manifold_pressure: FloatOrArray, burn: Burn) -> FloatOrArray:
    """Gross indicated mean effective pressure.

    Parameters
    ----------
    manifold_pressure : float or array, absolute [Pa]
    burn : Burn

    Returns
    -------
    pressure : float or array [Pa]

    Notes
    -----
    No gas exchange, no friction.

    References
    ----------
    First law; definition of the mean effective pressure.
    """
    work = gross_work_ratio(burn_history(burn), burn.heat)
    return manifold_pressure * work / (1.0 - 1.0 / burn.compression_ratio)
