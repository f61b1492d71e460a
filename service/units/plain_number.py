"""One number with one unit: into SI, or to a fault with the unit that was probably meant."""

import sys

from service.units.choice_reading import nearest
from service.units.fault import Fault
from service.units.number_form import Found, NumberForm, Reading, amount, amount_text, note, show
from service.units.units import DIMENSIONS, STANDARD_ATMOSPHERE, Unit, find_unit

# 95 % is 0.9500000000000001, and still within "up to 95 %".
ROUNDING = 1e-12
LARGEST = sys.float_info.max
# "About" figures are rounded to three digits, and to tenths below TENTHS_BELOW where that moves them by no more than ROUND_WITHIN.
ROUND_WITHIN = 0.02
TENTHS_BELOW = 100
_READING_WORDS = {
    "absolute": "absolute",
    "abs": "absolute",
    "gauge": "gauge",
    "gage": "gauge",
    "a": "absolute",
    "g": "gauge",
}
# What the trade leaves out (common practice): a weight said for a flow, a pressure or a torque; a volume said for a flow.
_SAID_FOR = {
    ("lb", "mass_flow"): "lb/h",
    ("lb", "pressure"): "psi",
    ("lb", "torque"): "lb-ft",
    ("kg", "mass_flow"): "kg/h",
    ("kg", "pressure"): "kg/cm2",
    ("cc", "volume_flow"): "cc/min",
    ("L", "volume_flow"): "L/h",
    ("gal", "volume_flow"): "gal/h",
}


def read_plain(number: float, spelling: str, form: NumberForm) -> Reading | Fault:
    """A number and the spelling of its unit, in SI, held against the form."""
    if not -LARGEST <= number <= LARGEST:
        return form.fault("not-finite", "this is not a finite number")
    number = float(number)
    found = find(spelling, form)
    if found is None:
        return _unfit(number, spelling, form)
    dimension, unit, said, _ = found
    if said is not None and said != form.reading:
        return _wrong_reading(number, found, form)
    if unit.place is not None and not form.has_place:
        instead = standard(show(number), unit.text, form) if unit.place == "crank" else None
        return form.fault(
            "wrong-unit", f"the unit says at the {unit.place}, and this field has no place", instead
        )
    value = number * unit.factor + unit.offset
    low, high = form.possible[dimension]
    if not _possible(value, low, high):
        ends = [f"{(end - unit.offset) / unit.factor:.4g}" for end in (low, high)]
        detail = f"{amount(number, unit.text)} cannot be right; possible is {amount_text(' to '.join(ends), unit.text)}"
        return form.fault("out-of-range", detail, _likely(number, form, unit))
    return Reading(dimension, value, note(number, found, form), unit.place)


def with_tolerance(
    reading: Reading, number: float, found: Found, tolerance: float, unit: str | None, form: NumberForm
) -> Reading | Fault:
    """A reading that may lie as far to either side as its tolerance says; `unit` None: the tolerance is a share of the number."""
    if not 0 <= tolerance <= LARGEST:
        return form.fault("tolerance", "a tolerance is a finite number, not below zero")
    # Without its place or its reading the number would be another one.
    alone = standard(show(number), f"{found.written} {found.said or ''}".strip(), form)
    if unit is None and found.unit.offset:
        return form.fault("tolerance", "a tolerance in percent means nothing on this scale", alone)
    other = found if unit is None else find(unit, form)
    if other is None or other.dimension != found.dimension or other.said not in (None, form.reading):
        return form.fault("tolerance", "the tolerance is not in a unit of the number", alone)
    if other.unit.place not in (None, found.unit.place):
        return form.fault(
            "tolerance",
            f"the tolerance says at the {other.unit.place}, the number does not",
            None if found.unit.place else alone,
        )
    width = abs(reading.value) * tolerance if unit is None else tolerance * other.unit.factor
    low, high = form.possible[reading.dimension]
    if width and low == 0 and width >= reading.value:
        return form.fault("tolerance", "the tolerance is as large as the number itself", alone)
    if not (_possible(reading.value - width, low, high) and _possible(reading.value + width, low, high)):
        return form.fault("tolerance", "the tolerance takes it to where it cannot be right", alone)
    # "60 %, give or take 5 %" could be points or a share; 0.05 is one thing only.
    plain = found.unit.text in ("", "%")
    said = (
        show(width)
        if plain
        else f"{show(100 * tolerance)} %"
        if unit is None
        else amount(tolerance, other.unit.text)
    )
    place = (
        f" at the {reading.place}"
        if reading.place
        else f" = {show(reading.value)}"
        if found.unit.text == "%"
        else ""
    )
    if found.dimension == "pressure" and form.reading == "absolute":
        place = " absolute" if found.said else " read as absolute"
    ends = (reading.value - width, reading.value + width)
    return reading._replace(
        note=f"{amount(number, found.unit.text)}{place}, give or take {said}",
        spread=ends if ends[0] < ends[1] else None,
    )


def is_percent(spelling: str) -> bool:
    """Whether a spelling is one of per cent."""
    unit = find_unit("ratio", spelling)
    return unit is not None and unit.text == "%"


def _possible(value: float, low: float, high: float) -> bool:
    return low - ROUNDING * abs(low) <= value <= high + ROUNDING * abs(high)


def find(spelling: str, form: NumberForm) -> Found | None:
    """The unit a spelling means in this form; pressures may say absolute or gauge."""
    for dimension in form.dimensions:
        if unit := find_unit(dimension, spelling):
            return Found(dimension, unit, None, spelling)
    if "pressure" in form.dimensions:
        bare = spelling.casefold().rstrip(" .)")
        for word, said in _READING_WORDS.items():
            written = bare.removesuffix(word).rstrip(" (.,")
            if bare.endswith(word) and (unit := find_unit("pressure", written)):
                return Found("pressure", unit, said, written)
    return None


def _unfit(number: float, spelling: str, form: NumberForm) -> Fault:
    if not spelling:
        return form.fault("unit-missing", f"{show(number)} has no unit", _likely(number, form))
    wanted = " or ".join(DIMENSIONS[dimension].phrase for dimension in form.dimensions)
    for dimension in DIMENSIONS.values():
        if unit := find_unit(dimension.name, spelling):
            detail = f"{amount(number, unit.text)} is {dimension.phrase}; {wanted} is wanted"
            meant = [
                _SAID_FOR[key] for key in ((unit.text, own) for own in form.dimensions) if key in _SAID_FOR
            ]
            return form.fault("wrong-unit", detail, standard(show(number), meant[0], form) if meant else None)
    spellings = {
        word: unit
        for dimension in form.dimensions
        for word, unit in DIMENSIONS[dimension].units.items()
        if word
    }
    close = nearest(spelling, spellings)
    return form.fault(
        "unknown-unit", "that unit is not known here", standard(show(number), close, form) if close else None
    )


def _wrong_reading(number: float, found: Found, form: NumberForm) -> Fault:
    _, unit, said, _ = found
    given = f"{amount(number, unit.text)} {said}"
    if form.reading not in ("gauge", "absolute"):
        return form.fault(
            "wrong-reading", f"{given} is given; a pressure difference is neither absolute nor gauge"
        )
    step = STANDARD_ATMOSPHERE if said == "gauge" else -STANDARD_ATMOSPHERE
    rough = _rough(number + step / unit.factor)
    detail = f"{form.reading} pressure is wanted; {given} would be about {rough} {unit.text} {form.reading} at sea level"
    return form.fault(
        "wrong-reading", detail, standard(rough, unit.text + (" abs" if said == "gauge" else ""), form)
    )


def _likely(number: float, form: NumberForm, given: Unit | None = None) -> str | None:
    """The same number with the unit that was probably meant: a usual value first, then a unit of the same kind."""
    fitting = []
    for dimension in form.dimensions:
        low, high = form.possible[dimension]
        least, most = form.usual.get(dimension, (1.0, 0.0))
        for text in DIMENSIONS[dimension].offered:
            unit = DIMENSIONS[dimension].units[text]
            value = number * unit.factor + unit.offset
            if low <= value <= high:
                kin = given is not None and text.partition("/")[0] == given.text.partition("/")[0]
                fitting.append((not least <= value <= most, not kin, text))
    if not fitting:
        return None
    unusual, _, text = min(fitting, key=lambda row: row[:2])
    if given is None and unusual and len(fitting) > 1:
        return None
    return amount(number, text)


def standard(number: str, spelling: str, form: NumberForm) -> str | None:
    """A number and its unit in our own words, where that can be read in this form."""
    if isinstance(read_plain(float(number), spelling, form), Fault):
        return None
    dimension, unit, said, _ = find(spelling, form)
    text = next(word for word, own in DIMENSIONS[dimension].units.items() if own is unit)
    shown = number if len(number) <= 12 else show(float(number))
    return amount_text(shown, f"{text} abs" if said == "absolute" else text)


def _rough(number: float) -> str:
    tenths_do = abs(round(number, 1) - number) <= ROUND_WITHIN * abs(number) and abs(number) < TENTHS_BELOW
    return f"{number:.1f}" if tenths_do else show(float(f"{number:.3g}"))
