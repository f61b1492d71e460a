"""The charge of one filling of a cylinder, and the heat it gives to the gas."""

from typing import NamedTuple

import numpy as np

from service.physics import recipe
from service.physics.arrays import FloatOrArray


class TrappedCharge(NamedTuple):
    """Masses [kg] and heat [J] of one filling of one cylinder."""

    mass: FloatOrArray
    air: FloatOrArray
    fuel: FloatOrArray
    fuel_burned: FloatOrArray
    heat: FloatOrArray


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
