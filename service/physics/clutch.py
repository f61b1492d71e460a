"""
Disc clutch: clamp load, facing pressure and torque. Diameters and load per friction pair.

Source of both models: Shigley, Mechanical Engineering Design, chapter 16 (second-hand). Limits of all: full ring of
facing, dry, steady friction; inner diameter at least about 0.45 of the outer.
"""

import numpy as np


def torque_uniform_wear(clamp_load, friction, outer_diameter, inner_diameter, pairs=1):
    """
    Torque a worn-in clutch carries.

    clamp_load: N; friction: coefficient; diameters: m; pairs: friction faces that carry (single plate 2). Result: N m.
    """
    return pairs * clamp_load * friction * (outer_diameter + inner_diameter) / 4.0


def torque_uniform_pressure(clamp_load, friction, outer_diameter, inner_diameter, pairs=1):
    """Torque a new clutch carries, N m; arguments as torque_uniform_wear."""
    mean_radius = (outer_diameter**3 - inner_diameter**3) / (3.0 * (outer_diameter**2 - inner_diameter**2))
    return pairs * clamp_load * friction * mean_radius


def clamp_load_uniform_wear(highest_pressure, outer_diameter, inner_diameter):
    """Clamp load, N, that brings a worn-in facing to its highest pressure, Pa, at the inner edge; diameters in m."""
    return np.pi * highest_pressure * inner_diameter * (outer_diameter - inner_diameter) / 2.0


def clamp_load_uniform_pressure(pressure, outer_diameter, inner_diameter):
    """Clamp load, N, that brings a new facing to a pressure in Pa; diameters in m."""
    return pressure * np.pi / 4.0 * (outer_diameter**2 - inner_diameter**2)


def highest_pressure_uniform_wear(clamp_load, outer_diameter, inner_diameter):
    """Pressure at the inner edge of a worn-in facing, Pa, under a clamp load in N; diameters in m."""
    return clamp_load / clamp_load_uniform_wear(1.0, outer_diameter, inner_diameter)


def facing_pressure(clamp_load, outer_diameter, inner_diameter, area_share=1.0):
    """
    Mean pressure on the facing.

    clamp_load: N; diameters: m; area_share: part of the ring that is covered (buttons), 0 to 1. Result: Pa.
    """
    return clamp_load / (area_share * clamp_load_uniform_pressure(1.0, outer_diameter, inner_diameter))
