"""Autoignition of the unburned gas: delay, knock integral, octane requirement."""

from typing import NamedTuple

import numpy as np

from service.physics import recipe
from service.physics.arrays import Array, FloatOrArray
from service.physics.cycle import PROGRESS, Burn, BurnHistory, burn_history
from service.physics.quadrature import gauss_nodes, running_integral
from service.physics.slider_crank import volume_ratio
from service.physics.wiebe import progress_at

_HEATING = 1.0 - 1.0 / recipe.COMPRESSION_EXPONENT  # T of the unburned gas goes with p to this power
_COMPRESSION_HEATING = recipe.COMPRESSION_EXPONENT - 1.0  # and with 1/V to this one
_COMPRESSION_DELAY = recipe.COMPRESSION_EXPONENT * recipe.DELAY_PRESSURE_EXPONENT
_TO_CUT: Array = running_integral(PROGRESS, np.array([progress_at(recipe.KNOCK_CUT)]))[0]

# Compression speeds the reaction only near top dead centre. Angle = width * sinh(z) crowds the nodes there.
_COMPRESSION_NODES, _COMPRESSION_WEIGHTS = gauss_nodes(14)
_CROWDING_WIDTH = 0.4  # rad
_BOTTOM = np.arcsinh(-np.pi / _CROWDING_WIDTH)


class Charge(NamedTuple):
    """State of the charge at intake closing: absolute pressure [Pa] and temperature [K]."""

    pressure: FloatOrArray
    temperature: FloatOrArray


def ignition_delay(
    octane_number: FloatOrArray, pressure: FloatOrArray, temperature: FloatOrArray
) -> FloatOrArray:
    """Ignition delay of a gasoline charge.

    Parameters
    ----------
    octane_number : float or array [octane number]
    pressure : float or array, absolute [Pa]
    temperature : float or array, of the unburned gas [K]

    Returns
    -------
    delay : float or array [s]

    Notes
    -----
    Octane numbers of 80 to 100; one Arrhenius term, so no negative temperature coefficient.

    References
    ----------
    Douaud & Eyzat, SAE 780080, 1978: citation published, constants from memory.
    """
    # The correlation is written in atmospheres and per cent of iso-octane.
    return (
        recipe.DELAY_FACTOR
        * (octane_number / 100.0) ** recipe.DELAY_OCTANE_EXPONENT
        * (pressure / recipe.DELAY_PRESSURE_UNIT) ** -recipe.DELAY_PRESSURE_EXPONENT
        * np.exp(recipe.DELAY_TEMPERATURE / temperature)
    )


def damped_speed(speed: FloatOrArray) -> FloatOrArray:
    """Speed to use in the knock integral for an engine speed.

    Parameters
    ----------
    speed : float or array, of the engine [rad/s]

    Returns
    -------
    speed : float or array [rad/s]

    References
    ----------
    Own rule, see recipe.py.
    """
    return recipe.DAMPING_SPEED * (speed / recipe.DAMPING_SPEED) ** recipe.DAMPING_EXPONENT


def knock_integral(history: BurnHistory, burn: Burn, charge: Charge, speed: FloatOrArray) -> FloatOrArray:
    """Time over ignition delay at 100 octane, from bottom dead centre to 90 % burned.

    Parameters
    ----------
    history : BurnHistory, of the burn
    burn : Burn
    charge : Charge
    speed : float or array, damped or not, as the caller chooses [rad/s]

    Returns
    -------
    integral : float or array, of the shape of the burn [-]

    Notes
    -----
    Mean cycle, no hot spots, no early ignition.

    References
    ----------
    Livengood & Wu, Fifth Symposium on Combustion, 1955, for the integral (from memory).
    """
    columns = (charge.temperature, burn.compression_ratio, burn.rod_ratio)
    temperature, ratio, rod = (np.asarray(each)[..., None] for each in columns)
    activation = recipe.DELAY_TEMPERATURE / temperature

    span = np.arcsinh(history.start / _CROWDING_WIDTH) - _BOTTOM
    angle = _CROWDING_WIDTH * np.sinh(_BOTTOM + span[..., None] * _COMPRESSION_NODES)
    stretch = np.sqrt(_CROWDING_WIDTH**2 + angle * angle)
    log_volume = np.log(volume_ratio(angle, ratio, rod))
    rate = np.exp(-_COMPRESSION_DELAY * log_volume - activation * np.exp(_COMPRESSION_HEATING * log_volume))
    compressing = span * ((rate * stretch) @ _COMPRESSION_WEIGHTS)

    log_pressure = history.log_pressure
    rate = np.exp(
        recipe.DELAY_PRESSURE_EXPONENT * log_pressure - activation * np.exp(-_HEATING * log_pressure)
    )
    burning = burn.duration * (rate @ _TO_CUT)

    boost = (charge.pressure / recipe.DELAY_PRESSURE_UNIT) ** recipe.DELAY_PRESSURE_EXPONENT
    integral: FloatOrArray = (compressing + burning) * boost / (speed * recipe.DELAY_FACTOR)
    return integral


def octane_for_integral(
    integral: FloatOrArray,
    exponent: float = recipe.OCTANE_EXPONENT,
    criterion: float = recipe.KNOCK_CRITERION,
) -> FloatOrArray:
    """Octane requirement of a cycle whose knock integral at 100 octane is given.

    Parameters
    ----------
    integral : float or array, see knock_integral [-]
    exponent : float [-]
    criterion : float [-]

    Returns
    -------
    requirement : float or array [octane number]

    Notes
    -----
    Above 120 the number only ranks.

    References
    ----------
    Computed, the delay being a power of octane.
    """
    return 100.0 * (integral / criterion) ** (1.0 / exponent)


def octane_requirement(burn: Burn, charge: Charge, speed: FloatOrArray) -> FloatOrArray:
    """Octane number below which a cycle knocks.

    Parameters
    ----------
    burn : Burn
    charge : Charge
    speed : float or array, of the engine [rad/s]

    Returns
    -------
    requirement : float or array, good to about 3 for one engine and 6 between engines [octane number]

    Notes
    -----
    Phasing to 60 degrees; above 120 the number only ranks.

    References
    ----------
    recipe.py.
    """
    return octane_for_integral(knock_integral(burn_history(burn), burn, charge, damped_speed(speed)))
