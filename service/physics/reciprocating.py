"""Speed, acceleration and inertia of piston and rod."""

import numpy as np


def mean_piston_speed(stroke, speed):
    """Mean piston speed, m/s, from stroke in m and crank speed in rad/s; shapes broadcast."""
    return stroke * speed / np.pi


def acceleration_at_top(stroke, rod_length, speed):
    """
    Piston acceleration at top dead centre, the highest of the turn.

    stroke, rod_length: m; speed: rad/s. Shapes broadcast. Result: m/s2.
    Limits: no pin offset, constant speed. Source: exact at the dead centre (Heywood, 1988; second-hand).
    """
    radius = stroke / 2.0
    return radius * speed**2 * (1.0 + radius / rod_length)


def acceleration_at_bottom(stroke, rod_length, speed):
    """Piston acceleration at bottom dead centre, m/s2; arguments as acceleration_at_top."""
    radius = stroke / 2.0
    return radius * speed**2 * (1.0 - radius / rod_length)


def inertia_force_at_top(reciprocating_mass, stroke, rod_length, speed, big_end_mass=0.0):
    """
    Pull on the rod at top dead centre with no gas pressure.

    reciprocating_mass: kg; big_end_mass: rotating part of the rod above the cap, kg, to get the load of the rod bolts;
    the others as acceleration_at_top. Result: N. Limits: prying of the joint left out.
    """
    reciprocating = reciprocating_mass * acceleration_at_top(stroke, rod_length, speed)
    return reciprocating + big_end_mass * stroke / 2.0 * speed**2
