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
from service.physics.quadrature import gauss_nodes, interpolation, running_integral
from service.physics.slider_crank import volume_ratio
from service.physics.wiebe import burn_rate, burned_fraction, progress_at

_COMPRESSION_SLOPE = recipe.COMPRESSION_EXPONENT - 1.0
_BURN_SLOPE = recipe.BURN_EXPONENT - 1.0
_HALF_BURNED = progress_at(0.5)
_ALL_BURNED = burned_fraction(1.0)

# 16 nodes hold the octane requirement to 0.001; see tests/physics/test_end_gas.py.
PROGRESS, _WEIGHTS = gauss_nodes(16)
_HEAT_TO_NODES = (running_integral(PROGRESS, np.append(PROGRESS, 1.0)) * burn_rate(PROGRESS)).T.copy()

_FINE_PROGRESS = np.linspace(0.0, 1.0, 65)
_TO_FINE = interpolation(PROGRESS, _FINE_PROGRESS)


class TrappedCharge(NamedTuple):
    """Masses [kg] and heat [J] of one filling of one cylinder."""

    mass: FloatOrArray
    air: FloatOrArray
    fuel: FloatOrArray
    fuel_burned: FloatOrArray
    heat: FloatOrArray


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


class PeakPressure(NamedTuple):
    """Highest cylinder pressure [Pa], and its crank angle after top dead centre [rad]."""

    pressure: FloatOrArray
    angle: FloatOrArray


def trapped_charge(
    manifold_pressure: FloatOrArray,
    bottom_volume: FloatOrArray,
    closing_temperature: FloatOrArray,
    air_fuel_lambda: FloatOrArray,
) -> TrappedCharge:
    """Charge trapped at bottom dead centre, and the heat it gives to the gas.

    Parameters
    ----------
    manifold_pressure : float or array, absolute [Pa]
    bottom_volume : float or array, of the cylinder at bottom dead centre [m3]
    closing_temperature : float or array, of the charge at intake closing [K]
    air_fuel_lambda : float or array, air over stoichiometric air [-]

    Returns
    -------
    charge : TrappedCharge

    Notes
    -----
    Petrol-like fuel in vapour form; lambda 0.7 to 1.3.

    References
    ----------
    Ideal gas; shares and efficiencies of recipe.py, from memory.
    """
    mass = manifold_pressure * bottom_volume / (recipe.GAS_CONSTANT * closing_temperature)
    ratio = recipe.STOICHIOMETRIC_RATIO * air_fuel_lambda
    air = (1.0 - recipe.RESIDUAL_SHARE) * mass * ratio / (1.0 + ratio)
    # Rich mixtures burn what the air allows, lean ones all their fuel.
    fuel_burned = air / (recipe.STOICHIOMETRIC_RATIO * np.maximum(air_fuel_lambda, 1.0))
    heat = fuel_burned * recipe.HEATING_VALUE * recipe.COMBUSTION_EFFICIENCY * (1.0 - recipe.HEAT_LOSS_SHARE)
    return TrappedCharge(mass, air, air / ratio, fuel_burned, heat)


def heat_ratio(closing_temperature: FloatOrArray, air_fuel_lambda: FloatOrArray) -> FloatOrArray:
    """Heat of the charge over p V at bottom dead centre.

    Parameters
    ----------
    closing_temperature : float or array, of the charge at intake closing [K]
    air_fuel_lambda : float or array, air over stoichiometric air [-]

    Returns
    -------
    heat_ratio : float or array [-]

    Notes
    -----
    Petrol-like fuel in vapour form; lambda 0.7 to 1.3.

    References
    ----------
    As trapped_charge.
    """
    return trapped_charge(1.0, 1.0, closing_temperature, air_fuel_lambda).heat


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
    start_energy = volume_ratio(start, burn.compression_ratio, burn.rod_ratio) ** -_COMPRESSION_SLOPE
    # V**0.30 at the start, by way of p V = V**-0.33.
    energy_constant = np.asarray(start_energy ** (1.0 - _BURN_SLOPE / _COMPRESSION_SLOPE))
    compression_ratio, rod_ratio, heat = (
        np.asarray(each)[..., None] for each in (burn.compression_ratio, burn.rod_ratio, burn.heat)
    )
    angle = start[..., None] + np.asarray(burn.duration)[..., None] * PROGRESS
    log_volume = np.log(volume_ratio(angle, compression_ratio, rod_ratio))
    constant = energy_constant[..., None] + _BURN_SLOPE * heat * (
        np.exp(_BURN_SLOPE * log_volume) @ _HEAT_TO_NODES
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
    compression = (1.0 - history.start_energy) / _COMPRESSION_SLOPE
    return compression + heat * _ALL_BURNED + (history.start_energy - history.final_energy) / _BURN_SLOPE


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
    integral = progress * ((volume**_BURN_SLOPE * burn_rate(nodes)) @ _WEIGHTS)
    constant = at_start ** (_BURN_SLOPE - _COMPRESSION_SLOPE) + _BURN_SLOPE * burn.heat * integral
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
