"""Knock-limited phasing: how late the burn must come on a given fuel, and what that costs."""

from typing import NamedTuple

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from service.physics import recipe
from service.physics.arrays import Array, FloatOrArray
from service.physics.cycle import Burn, burn_history, gross_work_ratio
from service.physics.end_gas import Charge, damped_speed, knock_integral, octane_for_integral
from service.physics.quadrature import chebyshev_nodes
from service.physics.trapped_charge import heat_ratio

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
    """Knock-limited phasing of every row; the docstring of knock_solution says what each field is."""

    phasing: FloatOrArray
    retard: FloatOrArray
    octane_requirement: FloatOrArray
    torque_share: FloatOrArray
    beyond: bool | NDArray[np.bool_]


def knock_solution(
    manifold_pressure: FloatOrArray,
    closing_temperature: FloatOrArray,
    octane_index: FloatOrArray,
    compression_ratio: FloatOrArray,
    rod_ratio: FloatOrArray,
    burn_duration: FloatOrArray,
    speed: FloatOrArray,
    air_fuel_lambda: FloatOrArray,
) -> KnockSolution:
    """Phasing at which the octane requirement equals the octane index of the fuel.

    Parameters
    ----------
    manifold_pressure : float or array, absolute [Pa]
    closing_temperature : float or array, of the charge at intake closing [K]
    octane_index : float or array, of the fuel in this engine [octane number]
    compression_ratio : float or array, above 1 [-]
    rod_ratio : float or array, rod length over stroke, above 0.5 [-]
    burn_duration : float or array, 0 to 100 % burned [rad]
    speed : float or array, of the engine [rad/s]
    air_fuel_lambda : float or array, air over stoichiometric air [-]

    Returns
    -------
    phasing : float or array, knock-limited angle of 50 % burned after top dead centre [rad]
    retard : float or array, how far that is behind best torque [rad]
    octane_requirement : float or array, at best-torque phasing [octane number]
    torque_share : float or array, work at the phasing over work at best torque [-]
    beyond : bool or array, true where even the latest phasing knocks, which the phasing then is [-]

    Raises
    ------
    ValueError
        For a compression ratio at or below 1 or a rod ratio at or below 0.5.

    Notes
    -----
    Spark ignition, petrol-like fuel, phasing between 8 and 60 degrees; bore has no part in it. One row of the
    arrays is one operating point. A mean engine, so take plus or minus 3 octane numbers with the answer.

    References
    ----------
    recipe.py.
    """
    if np.any(np.less_equal(compression_ratio, 1.0)) or np.any(np.less_equal(rod_ratio, 0.5)):
        raise ValueError("compression ratio must be above 1 and rod ratio above 0.5")
    charge = Charge(_column(manifold_pressure), _column(closing_temperature))
    heat = heat_ratio(charge.temperature, _column(air_fuel_lambda))
    geometry = _column(compression_ratio), _column(rod_ratio)
    burn = Burn(_PHASINGS, *geometry, _column(burn_duration), heat)
    history = burn_history(burn)
    integral = knock_integral(history, burn, charge, damped_speed(_column(speed)))
    requirement = octane_for_integral(integral) @ _TO_TABLE
    work = gross_work_ratio(history, heat) @ _TO_TABLE
    return _where_quiet(requirement, work, np.asarray(octane_index, dtype=float))


def _column(values: FloatOrArray) -> Array:
    """One row for each operating point, ready to be spread over the phasings."""
    return np.asarray(values, dtype=float)[..., None]


def _where_quiet(requirement: Array, work: Array, octane: Array) -> KnockSolution:
    """The first phasing in the tables that needs no more than the octane of the row."""
    shape = np.broadcast_shapes(requirement.shape[:-1], octane.shape)
    requirement, work = (
        table if table.shape[:-1] == shape else np.broadcast_to(table, (*shape, _TABLE_SIZE))
        for table in (requirement, work)
    )
    quiet = requirement <= octane[..., None]
    beyond = ~quiet[..., -1]
    upper = np.where(beyond, _TABLE_SIZE - 1, np.maximum(quiet.argmax(-1), 1))
    # Flat positions: picking one entry a row this way is several times faster than along an axis.
    entry = upper + _TABLE_SIZE * np.arange(upper.size).reshape(shape)
    requirements, works = requirement.ravel(), work.ravel()
    above, below = requirements[entry - 1], requirements[entry]
    part = np.minimum(np.maximum((above - octane) / (above - below), 0.0), 1.0)
    work_there = works[entry - 1] + part * (works[entry] - works[entry - 1])
    retard = (_STEP * (upper - 1 + part))[()]
    return KnockSolution(
        phasing=recipe.BEST_TORQUE_PHASING + retard,
        retard=retard,
        octane_requirement=requirement[..., 0][()],
        torque_share=work_there / work[..., 0],
        beyond=beyond,
    )
