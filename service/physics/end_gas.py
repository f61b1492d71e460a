"""Autoignition of the unburned gas: delay, knock integral, octane requirement."""

import numpy as np

from service.physics import recipe
from service.physics.cycle import PROGRESS, burn_history, heat_ratio
from service.physics.quadrature import gauss_nodes, running_integral
from service.physics.slider_crank import volume_ratio
from service.physics.wiebe import progress_at

_HEATING = 1.0 - 1.0 / recipe.COMPRESSION_EXPONENT  # T of the unburned gas goes with p to this power
_COMPRESSION_HEATING = recipe.COMPRESSION_EXPONENT - 1.0  # and with 1/V to this one
_COMPRESSION_DELAY = recipe.COMPRESSION_EXPONENT * recipe.DELAY_PRESSURE_EXPONENT
_TO_CUT = running_integral(PROGRESS, [progress_at(recipe.KNOCK_CUT)])[0]

# Compression speeds the reaction only near top dead centre. Angle = width * sinh(z) crowds the nodes there.
_COMPRESSION_NODES, _COMPRESSION_WEIGHTS = gauss_nodes(14)
_CROWDING_WIDTH = 0.4  # rad
_BOTTOM = np.arcsinh(-np.pi / _CROWDING_WIDTH)


def ignition_delay(octane_number, pressure, temperature):
    """
    Ignition delay of a gasoline charge.

    octane_number: -; pressure: absolute, Pa; temperature: of the unburned gas, K. Shapes broadcast. Result: s.
    Limits: octane numbers of 80 to 100; one Arrhenius term, so no negative temperature coefficient.
    Source: Douaud & Eyzat, SAE 780080, 1978: citation published, constants from memory.
    """
    # The correlation is written in atmospheres and per cent of iso-octane.
    return (
        recipe.DELAY_FACTOR
        * (octane_number / 100.0) ** recipe.DELAY_OCTANE_EXPONENT
        * (pressure / recipe.DELAY_PRESSURE_UNIT) ** -recipe.DELAY_PRESSURE_EXPONENT
        * np.exp(recipe.DELAY_TEMPERATURE / temperature)
    )


def damped_speed(speed):
    """Speed to use in the knock integral, rad/s, for an engine speed in rad/s. Own rule, see recipe.py."""
    return recipe.DAMPING_SPEED * (speed / recipe.DAMPING_SPEED) ** recipe.DAMPING_EXPONENT


def knock_integral(
    history, manifold_pressure, closing_temperature, compression_ratio, rod_ratio, burn_duration, speed
):
    """
    Time over ignition delay at 100 octane, from bottom dead centre to 90 % burned.

    history: BurnHistory of the same cycle; manifold_pressure: absolute, Pa; closing_temperature: charge at intake
    closing, K; compression_ratio: -; rod_ratio: rod length over stroke; burn_duration: rad; speed: rad/s (damped or
    not, as the caller chooses). Arrays that broadcast together. Result: -, same shape.
    Limits: mean cycle, no hot spots, no early ignition. Source: Livengood & Wu, Fifth Symposium on Combustion, 1955,
    for the integral (from memory).
    """
    columns = (np.asarray(each)[..., None] for each in (closing_temperature, compression_ratio, rod_ratio))
    temperature, ratio_column, rod_column = columns
    activation = recipe.DELAY_TEMPERATURE / temperature

    span = np.arcsinh(history.start / _CROWDING_WIDTH) - _BOTTOM
    angle = _CROWDING_WIDTH * np.sinh(_BOTTOM + span[..., None] * _COMPRESSION_NODES)
    stretch = np.sqrt(_CROWDING_WIDTH**2 + angle * angle)
    log_volume = np.log(volume_ratio(angle, ratio_column, rod_column))
    rate = np.exp(-_COMPRESSION_DELAY * log_volume - activation * np.exp(_COMPRESSION_HEATING * log_volume))
    compressing = span * ((rate * stretch) @ _COMPRESSION_WEIGHTS)

    log_pressure = history.log_pressure
    rate = np.exp(
        recipe.DELAY_PRESSURE_EXPONENT * log_pressure - activation * np.exp(-_HEATING * log_pressure)
    )
    burning = burn_duration * (rate @ _TO_CUT)

    boost = (manifold_pressure / recipe.DELAY_PRESSURE_UNIT) ** recipe.DELAY_PRESSURE_EXPONENT
    return (compressing + burning) * boost / (speed * recipe.DELAY_FACTOR)


def octane_for_integral(integral, exponent=recipe.OCTANE_EXPONENT, criterion=recipe.KNOCK_CRITERION):
    """
    Octane requirement of a cycle whose knock integral at 100 octane is given; any shape.

    Result: octane number. Limits: above 120 the number only ranks. Source: computed, the delay being a power of octane.
    """
    return 100.0 * (integral / criterion) ** (1.0 / exponent)


def octane_requirement(
    phasing,
    manifold_pressure,
    closing_temperature,
    compression_ratio,
    rod_ratio,
    burn_duration,
    speed,
    air_fuel_lambda,
):
    """
    Octane number below which a cycle knocks.

    phasing: angle of 50 % burned after top dead centre, rad; manifold_pressure: absolute, Pa; closing_temperature:
    charge at intake closing, K; compression_ratio: -; rod_ratio: rod length over stroke; burn_duration: rad; speed:
    engine speed, rad/s; air_fuel_lambda: -. Arrays that broadcast together.
    Result: octane number, good to about 3 for one engine and 6 between engines.
    Limits: phasing to 60 degrees; above 120 the number only ranks. Source: recipe.py.
    """
    heat = heat_ratio(closing_temperature, air_fuel_lambda)
    history = burn_history(phasing, compression_ratio, rod_ratio, burn_duration, heat)
    return octane_for_integral(
        knock_integral(
            history,
            manifold_pressure,
            closing_temperature,
            compression_ratio,
            rod_ratio,
            burn_duration,
            damped_speed(speed),
        )
    )
