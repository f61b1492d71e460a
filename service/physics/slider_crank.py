"""Geometry of piston, rod and crank: travel, volumes, compression ratios."""

import numpy as np


def piston_travel(angle, stroke, rod_length):
    """
    Distance of the piston below top dead centre.

    angle: crank angle after top dead centre, rad; stroke, rod_length: m. Any shapes that broadcast.
    Result: m. Limits: rod longer than half the stroke, no pin offset. Source: plane geometry.
    """
    radius = stroke / 2.0
    return (
        radius + rod_length - radius * np.cos(angle) - np.sqrt(rod_length**2 - (radius * np.sin(angle)) ** 2)
    )


def volume_ratio(angle, compression_ratio, rod_ratio):
    """
    Cylinder volume over its volume at bottom dead centre.

    angle: crank angle after top dead centre, rad; compression_ratio: -; rod_ratio: rod length over stroke, -.
    Any shapes that broadcast. Result: -, from 1/compression_ratio to 1.
    Limits: compression_ratio > 1, rod_ratio > 0.5, no pin offset. Source: plane geometry.
    """
    cosine = np.cos(angle)
    rod_to_crank = 2.0 * rod_ratio
    travel = (1.0 + rod_to_crank - cosine - np.sqrt(rod_to_crank**2 - 1.0 + cosine * cosine)) / 2.0
    return (1.0 + (compression_ratio - 1.0) * travel) / compression_ratio


def swept_volume(bore, stroke):
    """Swept volume of one cylinder, m3, from bore and stroke in m; shapes broadcast."""
    return np.pi / 4.0 * bore**2 * stroke


def cylinder_volume(angle, bore, stroke, rod_length, compression_ratio):
    """
    Volume above the piston.

    angle: crank angle after top dead centre, rad; bore, stroke, rod_length: m; compression_ratio: -.
    Result: m3. Limits: as volume_ratio.
    """
    at_bottom = swept_volume(bore, stroke) * compression_ratio / (compression_ratio - 1.0)
    return at_bottom * volume_ratio(angle, compression_ratio, rod_length / stroke)


def deck_clearance(block_height, stroke, rod_length, compression_height):
    """Piston crown below the deck at top dead centre, m (negative: above it), from lengths in m."""
    return block_height - stroke / 2.0 - rod_length - compression_height


def clearance_volume(chamber_volume, dish_volume, bore, piston_to_deck, gasket_bore, gasket_thickness):
    """
    Volume above the piston at top dead centre.

    chamber_volume, dish_volume: m3 (a dome counts negative); bore, piston_to_deck, gasket_bore,
    gasket_thickness: m (piston_to_deck negative when the piston stands proud). Result: m3.
    Limits: the ring-land crevice is left out. Source: sum of the volumes, common practice.
    """
    deck_volume = np.pi / 4.0 * bore**2 * piston_to_deck
    gasket_volume = np.pi / 4.0 * gasket_bore**2 * gasket_thickness
    return chamber_volume + dish_volume + deck_volume + gasket_volume


def compression_ratio(swept, clearance):
    """
    Geometric compression ratio of a swept and a clearance volume, both m3.

    Errors: ValueError if a volume is not positive.
    """
    if np.any(np.asarray(swept) <= 0.0) or np.any(np.asarray(clearance) <= 0.0):
        raise ValueError("swept and clearance volume must be positive")
    return 1.0 + swept / clearance


def dynamic_compression_ratio(static_ratio, rod_ratio, intake_closing):
    """
    Compression ratio counted from the closing of the intake valve.

    static_ratio: geometric compression ratio; rod_ratio: rod length over stroke; intake_closing: angle after
    bottom dead centre, rad. Result: -. Limits: says nothing of ram or reversion. Source: common practice.
    """
    return static_ratio * volume_ratio(np.pi + intake_closing, static_ratio, rod_ratio)
