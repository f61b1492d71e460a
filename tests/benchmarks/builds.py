"""The builds that the benchmarks evaluate."""

EIGHTEEN_FIELDS = {
    "usage": "street",
    "engine": {"cylinders": 8, "displacement": "5.0 L", "compression_ratio": "8.8:1", "peak_power_speed": "6000 rpm"},
    "induction": {"kind": "screw", "boost": "12 psi"},
    "fuel": {"grade": "premium_91_aki"},
    "fuel_system": {"injector_count": 8, "injector_flow": "50 lb/h", "rail_pressure": "58 psi", "injector_rated_pressure": "43.5 psi", "boost_referenced": "yes"},
    "sensors": {"manifold_pressure_range": "2.5 bar"},
    "clutch": {"torque_rating": "650 lb-ft"},
    "target": {"power": "520 hp", "power_at": "crank"},
    "driveline": {"layout": "rear"},
}

FULL = {
    "usage": "street",
    "engine": {
        "cylinders": 8, "displacement": "5.0 L", "bore": "92.2 mm", "stroke": "94 mm", "rod_length": "155 mm", "compression_ratio": 8.8, "chamber_design": "four_valve",
        "redline": "6500 rpm", "peak_power_speed": "6000 rpm", "peak_torque_speed": "3500 rpm", "naturally_aspirated_power": "340 hp", "naturally_aspirated_power_at": "crank",
        "spark_advance": "20 deg", "volumetric_efficiency": 1.0, "power_rating": "600 hp", "torque_rating": "600 lb-ft", "cylinder_pressure_rating": "110 bar",
    },
    "induction": {"kind": "screw", "boost": "12 psi", "boost_at_peak_torque": "11.5 psi", "full_boost_speed": "2500 rpm", "compressor_efficiency": 0.65},
    "charge_cooling": {"kind": "liquid", "effectiveness": 0.7},
    "fuel": {"grade": "premium_91_aki", "air_fuel_lambda": 0.8, "brake_specific_consumption": "0.60 lb/hp/h"},
    "fuel_system": {
        "delivery": "port", "injector_count": 8, "injector_flow": "50 lb/h", "injector_rated_pressure": "43.5 psi", "injector_rated_fluid": "petrol", "injector_dead_time": "0.9 ms",
        "rail_pressure": "43.5 psi", "boost_referenced": "yes", "rail_pressure_ceiling": "70 psi", "pump_flow": "340 L/h", "pump_rated_pressure": "58 psi",
        "pump_voltage": "13.2 V", "pump_rated_voltage": "13.5 V", "pump_count": 1, "supply_line_bore": "8.7 mm", "supply_line_length": "4.5 m", "pump_location": "in_tank",
    },
    "clutch": {"clamp_load": "12000 N", "outer_diameter": "280 mm", "inner_diameter": "180 mm", "facing": "organic", "discs": 1},
    "driveline": {"layout": "rear", "gearbox": "manual", "loss": "15 %"},
    "ignition": {"knock_control": True},
    "sensors": {"manifold_pressure_range": "2.5 bar", "boost_cut": "15 psi"},
    "target": {"power": "520 hp", "power_at": "crank", "torque": "500 lb-ft", "torque_at": "crank"},
    "conditions": {"ambient_temperature": "25 degC", "ambient_pressure": "101.3 kPa"},
}
