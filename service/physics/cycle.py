"""
Closed-form single-zone cycle from bottom dead centre to bottom dead centre.

Pressure is counted in units of the manifold pressure and volume in units of the volume at bottom dead centre, so
that only compression ratio, rod ratio, phasing, burn duration and the heat ratio remain. The bore drops out.
Before the start of burn p V**1.33 is constant. After it d(p V**1.30) = 0.30 V**0.30 dQ (first law with a constant
exponent), so p V**1.30 is known from one integral of V**0.30 over the burned fraction: no stepping.
"""

from typing import NamedTuple

import numpy as np

from service.physics import recipe
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
    """Masses in kg and heat in J of one filling of one cylinder."""

    mass: float
    air: float
    fuel: float
    fuel_burned: float
    heat: float


class BurnHistory(NamedTuple):
    """
    The burn of one phasing on the nodes PROGRESS (last axis), in units of the state at bottom dead centre.

    `start_energy` and `final_energy` are p V at the start of burn and back at bottom dead centre.
    """

    start: np.ndarray
    start_energy: np.ndarray
    log_pressure: np.ndarray
    final_energy: np.ndarray


class PeakPressure(NamedTuple):
    """Highest cylinder pressure, Pa, and its crank angle after top dead centre, rad."""

    pressure: float
    angle: float


def trapped_charge(manifold_pressure, bottom_volume, closing_temperature, air_fuel_lambda):
    """
    Charge trapped at bottom dead centre, and the heat it gives to the gas.

    manifold_pressure: absolute, Pa; bottom_volume: cylinder volume at bottom dead centre, m3;
    closing_temperature: charge at intake closing, K; air_fuel_lambda: air over stoichiometric air. Shapes broadcast.
    Result: TrappedCharge. Limits: petrol-like fuel in vapour form; lambda 0.7 to 1.3.
    Source: ideal gas; shares and efficiencies of recipe.py, from memory.
    """
    mass = manifold_pressure * bottom_volume / (recipe.GAS_CONSTANT * closing_temperature)
    ratio = recipe.STOICHIOMETRIC_RATIO * air_fuel_lambda
    air = (1.0 - recipe.RESIDUAL_SHARE) * mass * ratio / (1.0 + ratio)
    # Rich mixtures burn what the air allows, lean ones all their fuel.
    fuel_burned = air / (recipe.STOICHIOMETRIC_RATIO * np.maximum(air_fuel_lambda, 1.0))
    heat = fuel_burned * recipe.HEATING_VALUE * recipe.COMBUSTION_EFFICIENCY * (1.0 - recipe.HEAT_LOSS_SHARE)
    return TrappedCharge(mass, air, air / ratio, fuel_burned, heat)


def heat_ratio(closing_temperature, air_fuel_lambda):
    """Heat of the charge over p V at bottom dead centre; arguments as trapped_charge."""
    return trapped_charge(1.0, 1.0, closing_temperature, air_fuel_lambda).heat


def start_of_burn(phasing, burn_duration):
    """Crank angle at which the burn starts, rad, from the angle of 50 % burned and the duration, both rad."""
    return phasing - _HALF_BURNED * burn_duration


def motored_pressure(angle, compression_ratio, rod_ratio):
    """Pressure over that at bottom dead centre at a crank angle (rad) before the burn starts."""
    return volume_ratio(angle, compression_ratio, rod_ratio) ** -recipe.COMPRESSION_EXPONENT


def burn_history(phasing, compression_ratio, rod_ratio, burn_duration, heat):
    """
    Pressure during the burn, on the nodes PROGRESS.

    phasing: angle of 50 % burned after top dead centre, rad; compression_ratio: -; rod_ratio: rod length over
    stroke, -; burn_duration: 0 to 100 %, rad; heat: heat ratio, see heat_ratio. Arrays that broadcast together.
    Result: BurnHistory; `log_pressure` has one axis more than the arguments.
    Limits: burn starts and ends within the half turns around top dead centre.
    Source: first law; exponents of recipe.py, from memory.
    """
    start = np.asarray(start_of_burn(phasing, burn_duration))
    start_energy = volume_ratio(start, compression_ratio, rod_ratio) ** -_COMPRESSION_SLOPE
    # V**0.30 at the start, by way of p V = V**-0.33.
    energy_constant = start_energy ** (1.0 - _BURN_SLOPE / _COMPRESSION_SLOPE)
    compression_ratio, rod_ratio, heat = (
        np.asarray(each)[..., None] for each in (compression_ratio, rod_ratio, heat)
    )
    angle = start[..., None] + np.asarray(burn_duration)[..., None] * PROGRESS
    log_volume = np.log(volume_ratio(angle, compression_ratio, rod_ratio))
    constant = energy_constant[..., None] + _BURN_SLOPE * heat * (
        np.exp(_BURN_SLOPE * log_volume) @ _HEAT_TO_NODES
    )
    log_pressure = np.log(constant[..., :-1]) - recipe.BURN_EXPONENT * log_volume
    return BurnHistory(start, start_energy, log_pressure, constant[..., -1])


def gross_work_ratio(history, heat):
    """
    Work of compression and expansion strokes over p V at bottom dead centre.

    history: BurnHistory; heat: heat ratio. Result: -, shape of the phasing. Source: first law.
    """
    compression = (1.0 - history.start_energy) / _COMPRESSION_SLOPE
    return compression + heat * _ALL_BURNED + (history.start_energy - history.final_energy) / _BURN_SLOPE


def gross_mean_effective_pressure(
    manifold_pressure, phasing, compression_ratio, rod_ratio, burn_duration, heat
):
    """
    Gross indicated mean effective pressure.

    manifold_pressure: absolute, Pa; the others as burn_history. Result: Pa. Limits: no gas exchange, no friction.
    """
    history = burn_history(phasing, compression_ratio, rod_ratio, burn_duration, heat)
    return manifold_pressure * gross_work_ratio(history, heat) / (1.0 - 1.0 / compression_ratio)


def cylinder_pressure(angle, manifold_pressure, phasing, compression_ratio, rod_ratio, burn_duration, heat):
    """
    Pressure at any crank angle from -pi to pi.

    angle: after top dead centre, rad; manifold_pressure: absolute, Pa; the others as burn_history.
    Result: Pa. Limits and source: as burn_history.
    """
    start = start_of_burn(phasing, burn_duration)
    progress = np.clip((angle - start) / burn_duration, 0.0, 1.0)
    last_unburned = np.minimum(angle, start)
    at_start = volume_ratio(last_unburned, compression_ratio, rod_ratio)
    nodes = np.asarray(progress)[..., None] * PROGRESS
    columns = (np.asarray(each)[..., None] for each in (start, burn_duration, compression_ratio, rod_ratio))
    start_column, duration_column, ratio_column, rod_column = columns
    volume = volume_ratio(start_column + duration_column * nodes, ratio_column, rod_column)
    integral = progress * ((volume**_BURN_SLOPE * burn_rate(nodes)) @ _WEIGHTS)
    constant = at_start ** (_BURN_SLOPE - _COMPRESSION_SLOPE) + _BURN_SLOPE * heat * integral
    now = volume_ratio(angle, compression_ratio, rod_ratio)
    burning = constant * now**-recipe.BURN_EXPONENT
    return manifold_pressure * np.where(angle > start, burning, now**-recipe.COMPRESSION_EXPONENT)


def peak_pressure(
    manifold_pressure, phasing, compression_ratio, rod_ratio, burn_duration, heat, calibration=1.0
):
    """
    Highest cylinder pressure and where it stands.

    manifold_pressure: absolute, Pa; calibration: factor on the result (this cycle reads low against engines); the
    others as burn_history. Result: PeakPressure. A burn that starts after top dead centre may stay below the
    pressure of compression; then that one is given, at top dead centre.
    Limits: burn ends after top dead centre. Source: as burn_history.
    """
    history = burn_history(phasing, compression_ratio, rod_ratio, burn_duration, heat)
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
    return PeakPressure(
        calibration * manifold_pressure * pressure, np.where(burned_wins, burned_angle, last_unburned)[()]
    )
