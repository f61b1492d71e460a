"""The places in a build that a part can fill, and the groups of the spec each may speak for."""

SLOTS: dict[str, tuple[str, tuple[str, ...]]] = {
    "short_block": ("Short block", ("engine",)),
    "cylinder_heads": ("Cylinder heads", ("engine",)),
    "blower": ("Blower", ("induction",)),
    "turbo": ("Turbocharger", ("induction",)),
    "blower_pulley": ("Blower pulley", ("induction",)),
    "blower_belt": ("Blower belt", ("induction",)),
    "charge_cooler": ("Charge cooler", ("charge_cooling",)),
    "throttle_body": ("Throttle body", ("intake",)),
    "air_filter": ("Air filter", ("intake",)),
    "injectors": ("Injectors, a set", ("fuel_system",)),
    "fuel_pump": ("Fuel pump", ("fuel_system",)),
    "manifold_pressure_sensor": ("Manifold pressure sensor", ("sensors",)),
    "spark_plugs": ("Spark plugs, a set", ("ignition",)),
    "ignition_coils": ("Ignition coils, a set", ("ignition",)),
    "clutch": ("Clutch", ("clutch",)),
    "flywheel": ("Flywheel", ("flywheel",)),
    "gearbox": ("Gearbox", ("driveline",)),
    "half_shafts": ("Half-shafts", ("driveline",)),
    "radiator": ("Radiator", ("cooling",)),
    "exhaust": ("Exhaust", ("exhaust",)),
}
