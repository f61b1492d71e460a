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
    "vehicle": {"mass": "1600 kg", "clearance_checked": True, "road_registered": True, "emissions_approval": True},
    "engine": {
        "cylinders": 8, "displacement": "5.0 L", "bore": "92.2 mm", "stroke": "94 mm", "rod_length": "155 mm", "compression_ratio": 8.8, "chamber_design": "four_valve",
        "redline": "6500 rpm", "peak_power_speed": "6000 rpm", "peak_torque_speed": "3500 rpm", "naturally_aspirated_power": "340 hp", "naturally_aspirated_power_at": "crank",
        "spark_advance": "20 deg", "spark_advance_at_peak_torque": "14 deg", "volumetric_efficiency": 1.0, "power_rating": "650 hp", "torque_rating": "650 lb-ft",
        "cylinder_pressure_rating": "110 bar", "intake_valve_closing": "50 deg", "intake_valve_diameter": "37 mm", "intake_valves_per_cylinder": 2, "pistons": "forged",
        "crankshaft": "forged_steel", "reciprocating_mass": "740 g", "rod_big_end_mass": "360 g", "rod_bolt_clamp_load": "106 kN", "top_ring_gap": "0.56 mm", "second_ring_gap": "0.6 mm",
        "head_stud_count": 10, "head_stud_diameter": "12 mm", "head_stud_torque": "120 N.m", "head_fastener": "stud", "head_gasket": "multi_layer_steel", "cylinders_per_head": 4,
        "cam_duration_intake": "224 deg", "cam_duration_exhaust": "230 deg", "cam_lobe_separation": "114 deg", "spring_seat_load": "130 lbf",
        "main_bearing_clearance": "0.0029 in", "main_journal_diameter": "2.65 in", "break_in_distance": "900 mi",
    },
    "induction": {
        "kind": "screw", "boost": "12 psi", "boost_at_peak_torque": "11.5 psi", "full_boost_speed": "2500 rpm", "compressor_efficiency": 0.65, "blower_displacement": "2.3 L",
        "blower_volumetric_efficiency": 0.95, "crank_pulley_diameter": "180 mm", "blower_pulley_diameter": "76 mm", "blower_step_up": 1.0, "blower_speed_limit": "18000 rpm",
        "belt_ribs": 8, "belt_wrap": "160 deg", "belt_tension": "1400 N", "crank_pulley_fixing": "bolt_key",
    },
    "charge_cooling": {"kind": "liquid", "effectiveness": 0.7, "pressure_drop": "1 psi", "coolant_flow": "20 L/min", "coolant": "glycol_50", "coolant_volume": "8 L", "pull_duration": "15 s"},
    "intake": {"throttle_diameter": "85 mm", "throttle_count": 1, "throttle_location": "before_compressor", "filter_area": "1500 cm2"},
    "fuel": {"grade": "premium_91_aki", "air_fuel_lambda": 0.8, "brake_specific_consumption": "0.60 lb/hp/h"},
    "fuel_system": {
        "delivery": "port", "injector_count": 8, "injector_flow": "55 lb/h", "injector_rated_pressure": "43.5 psi", "injector_rated_fluid": "n_heptane", "injector_dead_time": "0.9 ms",
        "injector_idle_pulse": "2.2 ms", "rail_pressure": "43.5 psi", "boost_referenced": "yes", "rail_pressure_ceiling": "70 psi", "pump_flow": "340 L/h", "pump_rated_pressure": "60 psi",
        "pump_voltage": "13.2 V", "pump_rated_voltage": "13.5 V", "pump_count": 1, "pump_arrangement": "parallel", "supply_line_bore": "8.7 mm", "supply_line_length": "4.5 m",
        "pump_location": "in_tank", "return_line_bore": "8.7 mm", "return_line_length": "4.5 m", "filter_pressure_drop": "1 psi", "fuel_hose_rated_for": "e85",
    },
    "clutch": {"clamp_load": "13500 N", "outer_diameter": "280 mm", "inner_diameter": "180 mm", "facing": "organic", "facing_area_share": 1.0, "discs": 1, "pressure_plate_material": "nodular_iron", "bed_in_distance": "600 mi"},
    "flywheel": {"material": "steel", "outer_diameter": "330 mm", "inner_diameter": "100 mm"},
    "driveline": {
        "layout": "rear", "gearbox": "manual", "loss": "15 %", "launch": "rolling", "gearbox_torque_rating": "800 N.m", "first_gear_ratio": 3.35, "final_drive_ratio": 3.55, "top_gear_ratio": 0.68,
        "tyre_radius": "0.33 m", "tyre_grip": 1.0, "driven_axle_load": "900 kg", "half_shaft_diameter": "30 mm", "half_shaft_material": "alloy_steel", "tyre_speed_rating": "350 km/h",
    },
    "ignition": {"plug_gap": "0.030 in", "coil_voltage": "38 kV", "knock_control": True, "plug_heat_range_steps": 2},
    "exhaust": {"gas_temperature": "800 degC", "pipe_diameter": "2.5 in", "pipe_count": 2, "back_pressure": "1 psi"},
    "calibration": {"injector_flow": "55 lb/h", "manifold_pressure_range": "2.5 bar", "fuel_grade": "premium_91_aki", "boost": "12 psi"},
    "crankcase": {"vent": "pcv_with_check_valve", "breather_bore": "25 mm"},
    "oil": {"pressure_hot": "66 psi", "temperature": "110 degC"},
    "electrical": {"alternator_current": "130 A", "fan_current": "40 A", "pump_current": "12 A", "loop_pump_current": "4 A"},
    "sensors": {"manifold_pressure_range": "2.5 bar", "boost_cut": "15 psi", "airflow_meter_range": "1900 kg/h"},
    "cooling": {"radiator_capacity": "180 kW"},
    "target": {"power": "520 hp", "power_at": "crank", "torque": "500 lb-ft", "torque_at": "crank"},
    "conditions": {"ambient_temperature": "25 degC", "ambient_pressure": "101.3 kPa"},
}
