"""How names are written in rules and what they become: `a.b` -> `a__b`, `at_peak_power(x)` ->
`x__at__peak_power`.
"""

import re

WORD = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*\Z")
_AT = "__at__"
# The typical value of an assumption, and its two ends.
ASSUMED = ("assumed", "lowest", "highest")


def identifier(dotted: str) -> str:
    """The Python identifier of a dotted rule name."""
    return dotted.replace(".", "__")


def at_point(name: str, point: str) -> str:
    """The identifier of a quantity at one operating point."""
    return f"{name}{_AT}{point}"


def split_point(name: str) -> tuple[str, str | None]:
    """The quantity and the operating point of an identifier."""
    base, _, point = name.partition(_AT)
    return base, point or None


def shown(name: str) -> str:
    """An identifier as a foreman writes it."""
    base, point = split_point(name)
    dotted = base.replace("__", ".")
    return f"at_{point}({dotted})" if point else dotted
