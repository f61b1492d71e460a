"""
Stress of spinning rings and discs of constant thickness.

Limits of all: elastic, no bolt holes (a hole adds a concentration of about 2, common practice), no heat.
Source: Mechanical Engineer's Data Handbook, p. 15 (ring, solid disc); elasticity of the annular disc.
"""


def ring_stress(density, rim_speed):
    """Hoop stress of a thin ring, Pa, from density in kg/m3 and rim speed in m/s."""
    return density * rim_speed**2


def solid_disc_stress(density, poisson_ratio, outer_radius, speed):
    """Stress at the centre of a solid disc, Pa; arguments as bore_stress."""
    return density * (speed * outer_radius) ** 2 * (3.0 + poisson_ratio) / 8.0


def bore_stress(density, poisson_ratio, outer_radius, inner_radius, speed):
    """
    Hoop stress at the bore of an annular disc, the highest in it.

    density: kg/m3; poisson_ratio: -; radii: m; speed: rad/s. Shapes broadcast. Result: Pa.
    """
    radii = (3.0 + poisson_ratio) * outer_radius**2 + (1.0 - poisson_ratio) * inner_radius**2
    return density * speed**2 / 4.0 * radii
