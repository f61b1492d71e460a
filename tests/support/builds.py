"""Three plausible builds with half a spec each, and random ones around them for what must hold of
any build.
"""

from copy import deepcopy

from hypothesis import strategies as st

BUILDS = {
    "5.3 L V8, turbo, half a spec": {
        "engine": {"cylinders": 8, "displacement": "5.3 L"},
        "induction": {"kind": "turbo", "boost": "14 psi"},
        "fuel": {"aki": 93},
        "fuel_system": {"injector_count": 8, "injector_flow": "42 lb/h", "pump_flow": "255 L/h"},
        "target": {"power": "550 hp"},
    },
    "5.0 L V8, screw blower": {
        "usage": "street",
        "engine": {
            "cylinders": 8,
            "displacement": "5.0 L",
            "bore": "92.2 mm",
            "stroke": "94 mm",
            "compression_ratio": 8.8,
            "peak_torque_speed": "3500 rpm",
            "peak_power_speed": "6000 rpm",
        },
        "induction": {"kind": "screw", "boost": "12 psi"},
        "fuel": {"ron": 96},
        "fuel_system": {"injector_count": 8, "injector_flow": "60 lb/h"},
        "clutch": {"torque_rating": "700 N.m"},
        "target": {"power": "480 hp", "power_at": "crank"},
    },
    "1.8 L inline four, turbo": {
        "usage": "street",
        "engine": {
            "cylinders": 4,
            "displacement": "1.8 L",
            "bore": "81 mm",
            "stroke": "86.4 mm",
            "compression_ratio": 9.5,
            "peak_power_speed": "6000 rpm",
            "redline": "6800 rpm",
        },
        "induction": {"kind": "turbo", "boost": "16 psi"},
        "fuel": {"ron": 98},
        "charge_cooling": {"kind": "air_to_air"},
        "clutch": {"torque_rating": "380 N.m"},
        "target": {"power": "270 hp", "power_at": "wheels"},
        "fuel_system": {"injector_count": 4, "injector_flow": "550 cc/min", "pump_flow": "255 L/h"},
    },
}

MOVED = {
    "engine": {
        "compression_ratio": st.integers(70, 130).map(lambda tenths: tenths / 10),
        "peak_power_speed": st.integers(45, 85).map(lambda hundreds: f"{hundreds * 100} rpm"),
        "redline": st.integers(60, 90).map(lambda hundreds: f"{hundreds * 100} rpm"),
    },
    "induction": {"boost": st.integers(0, 300).map(lambda tenths: f"{tenths / 10} psi")},
    "fuel_system": {
        "injector_flow": st.integers(24, 120).map(lambda pounds: f"{pounds} lb/h"),
        "pump_flow": st.integers(20, 80).map(lambda tens: f"{tens * 10} L/h"),
        "rail_pressure": st.integers(36, 70).map(lambda psi: f"{psi} psi"),
    },
    "clutch": {"torque_rating": st.integers(20, 120).map(lambda tens: f"{tens * 10} N.m")},
    "sensors": {"manifold_pressure_range": st.sampled_from(["1 bar", "2 bar", "2.5 bar", "3 bar"])},
    "charge_cooling": {"effectiveness": st.integers(40, 90).map(lambda percent: f"{percent} %")},
    "target": {"power": st.integers(20, 90).map(lambda tens: f"{tens * 10} hp")},
}


@st.composite
def builds(draw):
    build = deepcopy(draw(st.sampled_from(list(BUILDS.values()))))
    for group, fields in MOVED.items():
        for name, values in fields.items():
            if draw(st.booleans()):
                build.setdefault(group, {})[name] = draw(values)
    return build


def with_change(build, change):
    """A build with the `set` of a remedy put into it."""
    made = deepcopy(build)
    for group, fields in change.items():
        if isinstance(fields, dict):
            made.setdefault(group, {}).update(fields)
        else:
            made[group] = fields
    return made
