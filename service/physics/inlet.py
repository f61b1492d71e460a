"""Flow through the inlet valve."""


def inlet_mach_index(bore, valve_diameter, valve_count, flow_coefficient, piston_speed, speed_of_sound):
    """
    Inlet Mach index: mean gas speed through the inlet valves over the speed of sound.

    bore, valve_diameter: m; valve_count: inlet valves of one cylinder; flow_coefficient: mean over the lift, on the
    area of the valve head; piston_speed: mean, m/s; speed_of_sound: of the inlet gas, m/s. Shapes broadcast.
    Result: -; volumetric efficiency falls sharply above about 0.5 to 0.6.
    Limits: four-stroke, usual valve timing. Source: Taylor, The Internal-Combustion Engine in Theory and Practice
    (from memory); 0.5 published in JSME Med-Wiki 11:1002813.
    """
    return (bore / valve_diameter) ** 2 * piston_speed / (valve_count * flow_coefficient * speed_of_sound)
