"""
Belt on a small pulley: speed, pull and the tension that keeps it from slipping.

Limits of all: steady speed, both strands straight. Source: belt mechanics (Euler, with centrifugal tension).
"""

import numpy as np


def belt_speed(pulley_diameter, speed):
    """Belt speed, m/s, from the pulley diameter in m and its speed in rad/s."""
    return pulley_diameter / 2.0 * speed


def pull(power, velocity):
    """Difference of the strand tensions, N, that carries a power in W at a belt speed in m/s."""
    return power / velocity


def centrifugal_tension(mass_per_length, velocity):
    """Part of the tension that only bends the belt's own mass round, N, from kg/m and m/s."""
    return mass_per_length * velocity**2


def wedge_friction(friction, groove_angle):
    """Friction coefficient a groove of an included angle in rad gives a belt of coefficient friction."""
    return friction / np.sin(groove_angle / 2.0)


def tension_ratio(friction, wrap):
    """Largest ratio of the strand tensions, centrifugal part taken off, over a wrap in rad."""
    return np.exp(friction * wrap)


def mean_tension_needed(belt_pull, centrifugal, ratio):
    """
    Mean of the two strand tensions below which the belt slips.

    belt_pull: N; centrifugal: centrifugal tension, N; ratio: tension_ratio, above 1. Shapes broadcast. Result: N.
    """
    return centrifugal + belt_pull * (ratio + 1.0) / (2.0 * (ratio - 1.0))
