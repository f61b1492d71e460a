"""Round shaft in torsion. Limits: elastic, no splines or shoulders. Source: strength of materials."""

import numpy as np


def polar_moment(outer_diameter, inner_diameter=0.0):
    """Polar second moment of area, m4, from diameters in m."""
    return np.pi / 32.0 * (outer_diameter**4 - inner_diameter**4)


def torsion_stress(torque, outer_diameter, inner_diameter=0.0):
    """Shear stress at the surface, Pa, from torque in N m and diameters in m; shapes broadcast."""
    return torque * outer_diameter / 2.0 / polar_moment(outer_diameter, inner_diameter)


def twist(torque, length, shear_modulus, outer_diameter, inner_diameter=0.0):
    """Twist over a length, rad, from torque in N m, length in m, shear modulus in Pa and diameters in m."""
    return torque * length / (shear_modulus * polar_moment(outer_diameter, inner_diameter))
