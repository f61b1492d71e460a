"""Disc clutch: clamp load, facing pressure and torque. Diameters and load per friction pair.

Source of both models: Shigley, Mechanical Engineering Design, chapter 16 (second-hand). Limits of all: full
ring of facing, dry, steady friction; inner diameter at least about 0.45 of the outer.
"""

import numpy as np

from service.physics.arrays import FloatOrArray


def torque_uniform_wear(
    clamp_load: FloatOrArray,
    friction: FloatOrArray,
    outer_diameter: FloatOrArray,
    inner_diameter: FloatOrArray,
    pairs: int = 1,
) -> FloatOrArray:
    """Torque that a worn-in clutch carries.

    Parameters
    ----------
    clamp_load : float or array [N]
    friction : float or array, coefficient [-]
    outer_diameter : float or array [m]
    inner_diameter : float or array [m]
    pairs : int, friction faces that carry, two of a single plate [-]

    Returns
    -------
    torque : float or array [N m]

    References
    ----------
    Shigley, Mechanical Engineering Design, chapter 16 (second-hand).

    Examples
    --------
    Purdue ME 452, homework 14, problem 1 (published): 164.063 N m.

    >>> round(torque_uniform_wear(5000.0, 0.25, 0.300, 0.225), 2)
    164.06
    """
    return pairs * clamp_load * friction * (outer_diameter + inner_diameter) / 4.0


def torque_uniform_pressure(
    clamp_load: FloatOrArray,
    friction: FloatOrArray,
    outer_diameter: FloatOrArray,
    inner_diameter: FloatOrArray,
    pairs: int = 1,
) -> FloatOrArray:
    """Torque that a new clutch carries.

    Parameters
    ----------
    clamp_load : float or array [N]
    friction : float or array, coefficient [-]
    outer_diameter : float or array [m]
    inner_diameter : float or array [m]
    pairs : int, friction faces that carry, two of a single plate [-]

    Returns
    -------
    torque : float or array [N m]

    References
    ----------
    Shigley, Mechanical Engineering Design, chapter 16 (second-hand).
    """
    mean_radius = (outer_diameter**3 - inner_diameter**3) / (3.0 * (outer_diameter**2 - inner_diameter**2))
    return pairs * clamp_load * friction * mean_radius


def clamp_load_uniform_wear(
    highest_pressure: FloatOrArray, outer_diameter: FloatOrArray, inner_diameter: FloatOrArray
) -> FloatOrArray:
    """Clamp load that brings a worn-in facing to its highest pressure.

    Parameters
    ----------
    highest_pressure : float or array, at the inner edge [Pa]
    outer_diameter : float or array [m]
    inner_diameter : float or array [m]

    Returns
    -------
    clamp_load : float or array [N]

    References
    ----------
    Shigley, Mechanical Engineering Design, chapter 16 (second-hand).

    Examples
    --------
    Bhandari, Design of Machine Elements, Ex. 11.1 (second-hand): 15 707.96 N.

    >>> round(clamp_load_uniform_wear(1e6, 0.2, 0.1), 2)
    15707.96
    """
    return np.pi * highest_pressure * inner_diameter * (outer_diameter - inner_diameter) / 2.0


def clamp_load_uniform_pressure(
    pressure: FloatOrArray, outer_diameter: FloatOrArray, inner_diameter: FloatOrArray
) -> FloatOrArray:
    """Clamp load that brings a new facing to a pressure.

    Parameters
    ----------
    pressure : float or array, on the whole facing [Pa]
    outer_diameter : float or array [m]
    inner_diameter : float or array [m]

    Returns
    -------
    clamp_load : float or array [N]

    References
    ----------
    Shigley, Mechanical Engineering Design, chapter 16 (second-hand).

    Examples
    --------
    Bhandari, Design of Machine Elements, Ex. 11.2 (second-hand): 23 561.94 N.

    >>> round(clamp_load_uniform_pressure(1e6, 0.2, 0.1), 1)
    23561.9
    """
    return pressure * np.pi / 4.0 * (outer_diameter**2 - inner_diameter**2)


def highest_pressure_uniform_wear(
    clamp_load: FloatOrArray, outer_diameter: FloatOrArray, inner_diameter: FloatOrArray
) -> FloatOrArray:
    """Pressure at the inner edge of a worn-in facing.

    Parameters
    ----------
    clamp_load : float or array [N]
    outer_diameter : float or array [m]
    inner_diameter : float or array [m]

    Returns
    -------
    pressure : float or array [Pa]

    References
    ----------
    Shigley, Mechanical Engineering Design, chapter 16 (second-hand).

    Examples
    --------
    Purdue ME 452, homework 14, problem 1 (published): 188 628 Pa.

    >>> round(highest_pressure_uniform_wear(5000.0, 0.300, 0.225))
    188628
    """
    return clamp_load / clamp_load_uniform_wear(1.0, outer_diameter, inner_diameter)


def facing_pressure(
    clamp_load: FloatOrArray,
    outer_diameter: FloatOrArray,
    inner_diameter: FloatOrArray,
    area_share: FloatOrArray = 1.0,
) -> FloatOrArray:
    """Mean pressure on the facing.

    Parameters
    ----------
    clamp_load : float or array [N]
    outer_diameter : float or array [m]
    inner_diameter : float or array [m]
    area_share : float or array, part of the ring that is covered (buttons), 0 to 1 [-]

    Returns
    -------
    pressure : float or array [Pa]

    References
    ----------
    Force over area.

    Examples
    --------
    Purdue ME 452, homework 14, problem 1 (published): 161 681 Pa.

    >>> round(facing_pressure(5000.0, 0.300, 0.225))
    161681
    """
    return clamp_load / (area_share * clamp_load_uniform_pressure(1.0, outer_diameter, inner_diameter))
