"""What a spelling of a unit says: the unit, and whether absolute or gauge, at the crank or at the wheels, on
which scale.
"""

import re

from service.units.number_form import NumberForm, Spelling
from service.units.units import find_unit

_READING_WORDS = {
    "absolute": "absolute",
    "abs": "absolute",
    "gauge": "gauge",
    "gage": "gauge",
    "a": "absolute",
    "g": "gauge",
}
PLACE = re.compile(
    r"(?P<unit>.*?)[ ,]*\b(?:at|to|on) the "
    r"(?:(?P<wheels>(?:rear )?(?:wheels?|tires?|tyres?))|crank(?:shaft)?|flywheel)",
    re.IGNORECASE | re.DOTALL,
)
# Ten pounds of boost (common practice).
_ALWAYS_SHORT_FOR = {(word, "pressure"): "psi" for word in ("lb", "lbs", "pound", "pounds", "#")}


def is_percent(spelling: str) -> bool:
    """Whether a spelling is one of per cent."""
    unit = find_unit("ratio", spelling)
    return unit is not None and unit.text == "%"


def find(spelling: str, form: NumberForm) -> Spelling | None:
    """The unit a spelling means in this form; pressures may say absolute or gauge, powers and torques where,
    octane numbers on which scale.
    """
    for dimension in form.dimensions:
        if unit := find_unit(dimension, spelling):
            return Spelling(dimension, unit, spelling, place=unit.place)
    bare = spelling.casefold().rstrip(" .)")
    shortened = [_ALWAYS_SHORT_FOR.get((bare, dimension)) for dimension in form.dimensions]
    for whole in filter(None, (form.short_for.get(bare), *shortened)):
        meant = find(whole, form)
        return meant and meant._replace(written=spelling)
    if scale := next((scale for scale in form.scales if scale.casefold() == bare), None):
        plain = find("", form)
        return plain and plain._replace(written=spelling, scale=scale)
    if match := PLACE.fullmatch(spelling):
        place, unit_named = "wheels" if match["wheels"] else "crank", find(match["unit"], form)
        fits = unit_named and unit_named.place in (None, place)
        return unit_named._replace(written=spelling, place=place) if unit_named and fits else None
    if "pressure" in form.dimensions:
        for word, reading in _READING_WORDS.items():
            written = bare.removesuffix(word).rstrip(" (.,")
            if bare.endswith(word) and (unit := find_unit("pressure", written)):
                return Spelling("pressure", unit, written, reading)
    return None
