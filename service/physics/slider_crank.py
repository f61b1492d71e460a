"""Geometry of piston, rod and crank: travel, volumes, compression ratios."""

from typing import NamedTuple

import numpy as np

from service.physics.arrays import FloatOrArray


class Disc(NamedTuple):
    """A flat round space: bore [m] and height [m]."""

    bore: FloatOrArray
    height: FloatOrArray

    @property
    def volume(self) -> FloatOrArray:
        """In m3; negative where the height is."""
        return np.pi / 4.0 * self.bore**2 * self.height


def piston_travel(angle: FloatOrArray, stroke: FloatOrArray, rod_length: FloatOrArray) -> FloatOrArray:
    """Distance of the piston below top dead centre.

    Parameters
    ----------
    angle : float or array, of the crank after top dead centre [rad]
    stroke : float or array [m]
    rod_length : float or array [m]

    Returns
    -------
    travel : float or array [m]

    Notes
    -----
    Rod longer than half the stroke, no pin offset.

    References
    ----------
    Plane geometry.
    """
    radius = stroke / 2.0
    return (
        radius + rod_length - radius * np.cos(angle) - np.sqrt(rod_length**2 - (radius * np.sin(angle)) ** 2)
    )


def volume_ratio(
    angle: FloatOrArray, compression_ratio: FloatOrArray, rod_ratio: FloatOrArray
) -> FloatOrArray:
    """Cylinder volume over its volume at bottom dead centre.

    Parameters
    ----------
    angle : float or array, of the crank after top dead centre [rad]
    compression_ratio : float or array, above 1 [-]
    rod_ratio : float or array, rod length over stroke, above 0.5 [-]

    Returns
    -------
    volume_ratio : float or array, from 1/compression_ratio to 1 [-]

    Notes
    -----
    No pin offset.

    References
    ----------
    Plane geometry.
    """
    cosine = np.cos(angle)
    rod_to_crank = 2.0 * rod_ratio
    travel = (1.0 + rod_to_crank - cosine - np.sqrt(rod_to_crank**2 - 1.0 + cosine * cosine)) / 2.0
    return (1.0 + (compression_ratio - 1.0) * travel) / compression_ratio


def swept_volume(bore: FloatOrArray, stroke: FloatOrArray) -> FloatOrArray:
    """Swept volume of one cylinder.

    Parameters
    ----------
    bore : float or array [m]
    stroke : float or array [m]

    Returns
    -------
    volume : float or array [m3]

    References
    ----------
    Plane geometry.
    """
    return np.pi / 4.0 * bore**2 * stroke


def cylinder_volume(
    angle: FloatOrArray,
    bore: FloatOrArray,
    stroke: FloatOrArray,
    rod_length: FloatOrArray,
    compression_ratio: FloatOrArray,
) -> FloatOrArray:
    """Volume above the piston.

    Parameters
    ----------
    angle : float or array, of the crank after top dead centre [rad]
    bore : float or array [m]
    stroke : float or array [m]
    rod_length : float or array [m]
    compression_ratio : float or array, above 1 [-]

    Returns
    -------
    volume : float or array [m3]

    Notes
    -----
    As volume_ratio.

    References
    ----------
    Plane geometry.
    """
    at_bottom = swept_volume(bore, stroke) * compression_ratio / (compression_ratio - 1.0)
    return at_bottom * volume_ratio(angle, compression_ratio, rod_length / stroke)


def deck_clearance(
    block_height: FloatOrArray,
    stroke: FloatOrArray,
    rod_length: FloatOrArray,
    compression_height: FloatOrArray,
) -> FloatOrArray:
    """Piston crown below the deck at top dead centre.

    Parameters
    ----------
    block_height : float or array, from the crank's axis to the deck [m]
    stroke : float or array [m]
    rod_length : float or array [m]
    compression_height : float or array, from the pin to the crown [m]

    Returns
    -------
    clearance : float or array, negative above the deck [m]

    References
    ----------
    Plane geometry.
    """
    return block_height - stroke / 2.0 - rod_length - compression_height


def clearance_volume(
    chamber_volume: FloatOrArray, dish_volume: FloatOrArray, deck: Disc, gasket: Disc
) -> FloatOrArray:
    """Volume above the piston at top dead centre.

    Parameters
    ----------
    chamber_volume : float or array [m3]
    dish_volume : float or array, a dome counts negative [m3]
    deck : Disc, between crown and deck, its height negative where the piston stands proud
    gasket : Disc, the hole in it

    Returns
    -------
    volume : float or array [m3]

    Notes
    -----
    The ring-land crevice is left out.

    References
    ----------
    Sum of the volumes, common practice.
    """
    return chamber_volume + dish_volume + deck.volume + gasket.volume


def compression_ratio(swept: FloatOrArray, clearance: FloatOrArray) -> FloatOrArray:
    """Geometric compression ratio of a swept and a clearance volume.

    Parameters
    ----------
    swept : float or array [m3]
    clearance : float or array [m3]

    Returns
    -------
    ratio : float or array [-]

    Raises
    ------
    ValueError
        Where a volume is not positive.

    References
    ----------
    Definition.
    """
    if np.any(np.asarray(swept) <= 0.0) or np.any(np.asarray(clearance) <= 0.0):
        raise ValueError("swept and clearance volume must be positive")
    return 1.0 + swept / clearance


def dynamic_compression_ratio(
    compression_ratio: FloatOrArray, rod_ratio: FloatOrArray, intake_valve_closing: FloatOrArray
) -> FloatOrArray:
    """Compression ratio counted from the closing of the intake valve.

    Parameters
    ----------
    compression_ratio : float or array, geometric [-]
    rod_ratio : float or array, rod length over stroke [-]
    intake_valve_closing : float or array, after bottom dead centre [rad]

    Returns
    -------
    dynamic_compression_ratio : float or array [-]

    Notes
    -----
    Says nothing of ram or reversion.

    References
    ----------
    Common practice.
    """
    return compression_ratio * volume_ratio(np.pi + intake_valve_closing, compression_ratio, rod_ratio)
