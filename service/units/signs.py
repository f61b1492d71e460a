"""How units look in what people read; everywhere else they keep their plain spelling."""

SIGNS = {
    "deg": "°",
    "degC": " °C",
    "degF": " °F",
    "N.m": " N·m",
    "mm2": " mm²",
    "cm2": " cm²",
    "in2": " in²",
    "m2": " m²",
    "m3/h": " m³/h",
    "m/s2": " m/s²",
    "mm2/s": " mm²/s",
    "kg/m3": " kg/m³",
    "kJ/kg/K": " kJ/kg·K",
    "lb/hp/h": " lb per hp-hour",
    "kPa/krpm": " kPa per 1000 rpm",
    "psi/krpm": " psi per 1000 rpm",
}


def signed(number: str, unit: str) -> str:
    """A number with its unit as people write it: '27°', '95 °F'."""
    return number + sign(unit)


def sign(unit: str) -> str:
    """What follows a number, with the space it takes."""
    return SIGNS.get(unit, f" {unit}" if unit else "")
