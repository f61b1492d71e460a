"""The screens that a browser looks at, each about a build that fills it."""

from urllib.parse import urlencode

from service.web.pages.address import code_of

# Eight fields, as a clerk types them.
EIGHT = {
    "usage": "street",
    "engine.cylinders": "8",
    "engine.displacement": "5.0 L",
    "induction.kind": "screw",
    "induction.boost": "9 psi",
    "fuel.grade": "93 AKI",
    "fuel_system.injector_flow": "42 lb/h",
    "target.power": "430 whp",
}
KIT = {
    "usage": "street",
    "parts.engine": "EN-50-N302",
    "parts.kit": "KT-50-S6",
    "fuel.grade": "93 AKI",
    "target.power": "430 hp at the crank",
    "engine.head_stud_torque": "90 lb-ft",
}
MAP = {
    "points": [
        {"flow": "10 lb/min", "pressure_ratio": 1.2, "efficiency": 0.65},
        {"flow": "40 lb/min", "pressure_ratio": 1.2, "efficiency": 0.66},
        {"flow": "30 lb/min", "pressure_ratio": 2.0, "efficiency": 0.76},
        {"flow": "20 lb/min", "pressure_ratio": 2.6, "efficiency": 0.68},
        {"flow": "50 lb/min", "pressure_ratio": 2.6, "efficiency": 0.70},
    ],
    "surge": [{"flow": "8 lb/min", "pressure_ratio": 1.2}, {"flow": "24 lb/min", "pressure_ratio": 2.8}],
    "choke": [{"flow": "48 lb/min", "pressure_ratio": 1.2}, {"flow": "52 lb/min", "pressure_ratio": 2.8}],
}
TURBO = {
    "usage": "street",
    "engine.cylinders": 6,
    "engine.displacement": "3.0 L",
    "engine.compression_ratio": 9.0,
    "engine.redline": "6800 rpm",
    "engine.peak_power_speed": "6200 rpm",
    "induction.kind": "turbo",
    "induction.boost": "10 psi",
    "induction.compressor_map": MAP,
    "fuel.grade": "premium_95_ron",
    "fuel_system.injector_flow": "44 lb/h",
    "fuel_system.pump_flow": "255 L/h",
    "target.power": "380 hp",
}
FAULTY = {"engine.displacement": "5 parsecs", "fuel.grade": "premium", "engine.cylinders": "v8"}
HOSTILE = "\"'><script>alert(1)</script><img src=x onerror=alert(1)>"
COUNTED = {path: value for path, value in EIGHT.items() if path != "engine.cylinders"} | {
    "engine.cylinders": 8
}


def address(path: str, build: dict | None = None, **words: str) -> str:
    """A page about a build."""
    about = {"b": code_of(build)} if build else {}
    return f"{path}?{urlencode({'units': 'us', **about, **words})}"


SCREENS = {
    "what you have": address("/"),
    "faults": address("/answer", FAULTY),
    "nothing yet": address("/answer"),
    "the answer": address("/answer", COUNTED),
    "the answer to a kit": address("/answer", KIT),
    "a compressor map": address("/answer", TURBO),
    "the working": address("/working", KIT, check="knock-margin"),
    "what you need": address("/needs", KIT),
    "what it makes": address("/power", TURBO),
    "parts": address("/parts", KIT),
    "parts chosen": address("/parts", KIT, slot="gearbox"),
    "two builds": address("/compare", COUNTED),
    "two builds compared": address("/compare", COUNTED, c=code_of(COUNTED | {"induction.boost": "14 psi"})),
    "the dyno": address("/dyno", COUNTED),
    "build sheet": address("/sheet", KIT),
    "first start": address("/sheet", KIT, kind="start"),
    "result": address("/sheet", COUNTED, kind="result", pulls="402 whp\n405 whp\n404 whp"),
    "the rules": address("/rules"),
    "a rule": address("/rules/knock-margin"),
    "sign in": address("/sign-in"),
    "hostile": address("/answer", {"engine.bore": HOSTILE, HOSTILE: HOSTILE}),
}
DOCS = "/docs"
