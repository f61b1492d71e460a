"""Knock-limited phasing: how late the burn must come on a given fuel, and what that costs."""

from typing import NamedTuple

import numpy as np
from numpy.polynomial import chebyshev

from service.physics import recipe
from service.physics.cycle import burn_history, gross_work_ratio, heat_ratio
from service.physics.end_gas import damped_speed, knock_integral, octane_for_integral
from service.physics.quadrature import chebyshev_nodes

_NODE_COUNT = 10
_PHASINGS = chebyshev_nodes(recipe.BEST_TORQUE_PHASING, recipe.LATEST_PHASING, _NODE_COUNT)
# Every half degree; between two of these entries the requirement is straight to 0.001 degree.
_TABLE_SIZE = 105
_STEP = (recipe.LATEST_PHASING - recipe.BEST_TORQUE_PHASING) / (_TABLE_SIZE - 1)
_TO_TABLE = np.linalg.solve(
    chebyshev.chebvander(chebyshev.chebpts1(_NODE_COUNT), _NODE_COUNT - 1).T,
    chebyshev.chebvander(np.linspace(-1.0, 1.0, _TABLE_SIZE), _NODE_COUNT - 1).T,
)


class KnockSolution(NamedTuple):
    """
    Knock-limited phasing of every row.

    phasing: knock-limited angle of 50 % burned, rad; retard: how far that is behind best torque, rad;
    octane_requirement: at best-torque phasing; torque_share: work at the phasing over work at best torque;
    beyond: true where even the latest phasing knocks (phasing is then the latest).
    """

    phasing: np.ndarray
    retard: np.ndarray
    octane_requirement: np.ndarray
    torque_share: np.ndarray
    beyond: np.ndarray


def knock_solution(
    manifold_pressure,
    closing_temperature,
    octane_index,
    compression_ratio,
    rod_ratio,
    burn_duration,
    speed,
    air_fuel_lambda,
):
    """
    Phasing at which the octane requirement equals the octane index of the fuel.

    manifold_pressure: absolute, Pa; closing_temperature: charge at intake closing, K; octane_index: -;
    compression_ratio: -; rod_ratio: rod length over stroke; burn_duration: 0 to 100 %, rad; speed: rad/s;
    air_fuel_lambda: -. Floats or arrays that broadcast together; one row is one operating point.
    Result: KnockSolution, every field of the broadcast shape.
    Errors: ValueError for a compression ratio at or below 1 or a rod ratio at or below 0.5.
    Limits: spark ignition, petrol-like fuel, phasing between 8 and 60 degrees; bore has no part in it.
    Source: recipe.py; a mean engine, so take plus or minus 3 octane numbers with the answer.
    """
    if np.any(np.less_equal(compression_ratio, 1.0)) or np.any(np.less_equal(rod_ratio, 0.5)):
        raise ValueError("compression ratio must be above 1 and rod ratio above 0.5")
    pressure, temperature, octane, ratio, rod, duration, speed, mixture = (
        np.asarray(each, dtype=float)[..., None]
        for each in (
            manifold_pressure,
            closing_temperature,
            octane_index,
            compression_ratio,
            rod_ratio,
            burn_duration,
            speed,
            air_fuel_lambda,
        )
    )
    heat = heat_ratio(temperature, mixture)
    history = burn_history(_PHASINGS, ratio, rod, duration, heat)
    integral = knock_integral(history, pressure, temperature, ratio, rod, duration, damped_speed(speed))
    requirement = octane_for_integral(integral) @ _TO_TABLE
    work = gross_work_ratio(history, heat) @ _TO_TABLE
    shape = np.broadcast_shapes(requirement.shape[:-1], octane.shape[:-1])
    requirement, work = (
        each if each.shape[:-1] == shape else np.broadcast_to(each, (*shape, _TABLE_SIZE))
        for each in (requirement, work)
    )

    quiet = requirement <= octane
    beyond = ~quiet[..., -1]
    upper = np.where(beyond, _TABLE_SIZE - 1, np.maximum(quiet.argmax(-1), 1))
    # Flat positions: picking one entry a row this way is several times faster than along an axis.
    here = upper + _TABLE_SIZE * np.arange(upper.size).reshape(shape)
    requirements, works = requirement.ravel(), work.ravel()
    above, below = requirements[here - 1], requirements[here]
    part = np.minimum(np.maximum((above - octane[..., 0]) / (above - below), 0.0), 1.0)
    work_there = works[here - 1] + part * (works[here] - works[here - 1])
    retard = (_STEP * (upper - 1 + part))[()]
    return KnockSolution(
        phasing=recipe.BEST_TORQUE_PHASING + retard,
        retard=retard,
        octane_requirement=requirement[..., 0][()],
        torque_share=work_there / work[..., 0],
        beyond=beyond,
    )
