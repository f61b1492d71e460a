"""State of the charge at intake closing, octane index of the fuel in it, and burn duration."""

import numpy as np


def closing_temperature(
    manifold_temperature,
    manifold_share,
    surface_temperature,
    correction=0.0,
    evaporation_change=0.0,
    floor=0.0,
):
    """
    Temperature of the charge when the intake valve closes.

    manifold_temperature, surface_temperature (of the metal it meets): K; manifold_share: weight of the manifold, 0
    to 1; correction, evaporation_change: K, added; floor: lowest result allowed, K. Shapes broadcast.
    Result: K. Limits: warm engine, full load. Source: own rule, computed; coefficients come from the caller.
    """
    mixed = manifold_share * manifold_temperature + (1.0 - manifold_share) * surface_temperature
    return np.maximum(mixed + correction + evaporation_change, floor)


def evaporation_heat(vaporisation_heat, stoichiometric_ratio, air_fuel_lambda):
    """Heat the fuel takes up, J per kg of air, from J per kg of fuel, stoichiometric air/fuel ratio and lambda."""
    return vaporisation_heat / (stoichiometric_ratio * air_fuel_lambda)


def evaporation_change(heat_per_air, share, allowed_for, heat_capacity):
    """
    Change of the closing temperature by evaporation inside the port or cylinder.

    heat_per_air: see evaporation_heat, J/kg; share: part of it taken from the charge, 0 to 1; allowed_for: J/kg that
    the rule for the closing temperature already holds; heat_capacity: of the charge, J/(kg K). Shapes broadcast.
    Result: K, negative when it cools. Source: heat balance; share from memory.
    """
    return (allowed_for - share * heat_per_air) / heat_capacity


def evaporation_ahead_of_compressor(heat_per_air, share, heat_capacity):
    """Fall of the manifold temperature, K, by fuel ahead of the compressor; arguments as evaporation_change."""
    return share * heat_per_air / heat_capacity


def sensitivity_weight(manifold_temperature, reference_weight, reference_temperature, slope, lowest, highest):
    """
    Weight K of fuel sensitivity in the octane index.

    manifold_temperature, reference_temperature: K; reference_weight: K there; slope: 1/K; lowest, highest: clamp.
    Result: -. Limits: boosted engines. Source: own suggestion, computed; coefficients come from the caller.
    """
    weight = reference_weight + slope * (manifold_temperature - reference_temperature)
    return np.minimum(np.maximum(weight, lowest), highest)


def octane_index(research_octane, motor_octane, weight):
    """
    Octane number a fuel shows in a given engine.

    research_octane, motor_octane: RON and MON; weight: K, 0 in the research and 1 in the motor test.
    Result: octane number. Source: octane index of Kalghatgi (formula from memory).
    """
    return research_octane - weight * (research_octane - motor_octane)


def burn_duration(duration_at_reference, speed, reference_speed, exponent):
    """
    Burn duration at a speed.

    duration_at_reference: rad; speed, reference_speed: same unit; exponent: -. Result: rad.
    Limits: full load. Source: own suggestion, from memory; coefficients come from the caller.
    """
    return duration_at_reference * (speed / reference_speed) ** exponent
