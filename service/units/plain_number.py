"""One number with one unit: into SI, or to a fault with the unit that was probably meant."""

import sys
from typing import NamedTuple

from service.units.choice_reading import nearest
from service.units.fault import Fault
from service.units.number_form import NumberForm, Reading, Spelling, amount, amount_text, note, show
from service.units.spelling import PLACE, find
from service.units.units import DIMENSIONS, STANDARD_ATMOSPHERE, Unit, find_unit

# 95 % is 0.9500000000000001, and still within "up to 95 %".
ROUNDING = 1e-12
LARGEST = sys.float_info.max
# "About" figures are rounded to three digits, and to tenths below TENTHS_BELOW where that moves them
# by no more than ROUND_WITHIN.
ROUND_WITHIN = 0.02
TENTHS_BELOW = 100
# A number with more digits than this is written anew where it is repeated.
LONGEST_REPEATED = 12
# What the trade leaves out (common practice): a weight for a flow or a torque; a volume for a flow.
_SHORT_FOR = {
    ("lb", "mass_flow"): "lb/h",
    ("lb", "torque"): "lb-ft",
    ("kg", "mass_flow"): "kg/h",
    ("kg", "pressure"): "kg/cm2",
    ("cc", "volume_flow"): "cc/min",
    ("L", "volume_flow"): "L/h",
    ("gal", "volume_flow"): "gal/h",
}


class Tolerance(NamedTuple):
    """How far a number may be off: an amount with the spelling of its unit, or, without one, a share of the
    number.
    """

    width: float
    spelling: str | None


def read_plain(number: float, spelling: str, form: NumberForm) -> Reading | Fault:
    """A number and the spelling of its unit, in SI, held against the form."""
    if not -LARGEST <= number <= LARGEST:
        return form.fault("not-finite", "this is not a finite number")
    number = float(number)
    found = find(spelling, form)
    if found is None:
        return _unfit(number, spelling, form)
    dimension, unit, place = found.dimension, found.unit, found.place
    if found.reading is not None and found.reading != form.reading:
        return _wrong_reading(number, found, form)
    if place is not None and not form.has_place:
        instead = standard(show(number), unit.text, form) if place == "crank" else None
        return form.fault(
            "wrong-unit", f"this field takes plain {unit.text}, not {unit.text} at the {place}", instead
        )
    value = number * unit.factor + unit.offset
    low, high = form.possible[dimension]
    if not _possible(value, low, high):
        ends = [f"{(end - unit.offset) / unit.factor:.4g}" for end in (low, high)]
        span = amount_text(" to ".join(ends), unit.text)
        detail = f"{amount(number, unit.text)} can't be right; {span} is possible"
        return form.fault("out-of-range", detail, _likely(number, form, unit))
    return Reading(dimension, value, note(number, found, form), place, scale=found.scale)


def with_tolerance(
    reading: Reading, number: float, spelling: Spelling, tolerance: Tolerance, form: NumberForm
) -> Reading | Fault:
    """A reading that may lie as far to either side as its tolerance says."""
    width, unit = tolerance
    if not 0 <= width <= LARGEST:
        return form.fault("tolerance", "a tolerance is a finite number, not below zero")
    # Without its place or its reading the number would be another one.
    alone = standard(show(number), f"{spelling.written} {spelling.reading or ''}".strip(), form)
    if unit is None and spelling.unit.offset:
        return form.fault("tolerance", "a tolerance in percent means nothing on this scale", alone)
    other = spelling if unit is None else find(unit, form)
    if other is None or other.dimension != spelling.dimension or other.reading not in (None, form.reading):
        return form.fault("tolerance", "the tolerance needs a unit of the number's own kind", alone)
    if other.place not in (None, spelling.place):
        return form.fault(
            "tolerance",
            f"the tolerance says at the {other.place}, the number does not",
            None if spelling.place else alone,
        )
    span = abs(reading.value) * width if unit is None else width * other.unit.factor
    low, high = form.possible[reading.dimension]
    if span and low == 0 and span >= reading.value:
        return form.fault("tolerance", "the tolerance is as large as the number itself", alone)
    if not (_possible(reading.value - span, low, high) and _possible(reading.value + span, low, high)):
        return form.fault("tolerance", "with its tolerance the number can't be right", alone)
    ends = (reading.value - span, reading.value + span)
    # "60 %, give or take 5 %" could be points or a share; 0.05 is one thing only.
    if spelling.unit.text in ("", "%"):
        give_or_take = show(span)
    else:
        give_or_take = f"{show(100 * width)} %" if unit is None else amount(width, other.unit.text)
    shown = f"{amount(number, spelling.unit.text)}{_as_read(reading, spelling, form)}"
    return reading._replace(
        note=f"{shown}, give or take {give_or_take}", spread=ends if ends[0] < ends[1] else None
    )


def _as_read(reading: Reading, spelling: Spelling, form: NumberForm) -> str:
    """What a number means beyond what is written: its place, its reading, the ratio that a percentage is."""
    if spelling.dimension == "pressure" and form.reading == "absolute":
        return " absolute" if spelling.reading else " read as absolute"
    if reading.place:
        return f" at the {reading.place}"
    if reading.scale:
        return f" {reading.scale}"
    return f" = {show(reading.value)}" if spelling.unit.text == "%" else ""


def _possible(value: float, low: float, high: float) -> bool:
    return low - ROUNDING * abs(low) <= value <= high + ROUNDING * abs(high)


def _unfit(number: float, spelling: str, form: NumberForm) -> Fault:
    if not spelling:
        return _bare(number, form)
    if (place := PLACE.fullmatch(spelling)) and not place["unit"]:
        texts = (
            f"{text} {spelling}" for dimension in form.dimensions for text in DIMENSIONS[dimension].offered
        )
        options = tuple(filter(None, (standard(show(number), text, form) for text in texts)))
        return form.fault("unit-missing", f"{show(number)} has no unit", None, options)
    wanted = " or ".join(DIMENSIONS[dimension].phrase for dimension in form.dimensions)
    for dimension in DIMENSIONS.values():
        if unit := find_unit(dimension.name, spelling):
            detail = f"{amount(number, unit.text)} is {dimension.phrase}; this field takes {wanted}"
            keys = [(unit.text, dimension_meant) for dimension_meant in form.dimensions]
            meant = [_SHORT_FOR[key] for key in keys if key in _SHORT_FOR]
            return form.fault("wrong-unit", detail, standard(show(number), meant[0], form) if meant else None)
    spellings = {
        word: unit
        for dimension in form.dimensions
        for word, unit in DIMENSIONS[dimension].units.items()
        if word
    }
    close = nearest(spelling, spellings)
    return form.fault(
        "unknown-unit", "I don't know that unit", standard(show(number), close, form) if close else None
    )


def _bare(number: float, form: NumberForm) -> Fault:
    """A number without a unit, and each unit that may have been left out."""
    meant = [
        amount(number, text)
        for text, (low, high) in form.bare.items()
        if (spelling := find(text, form))
        and low <= number * spelling.unit.factor + spelling.unit.offset <= high
    ]
    detail = f"{show(number)} has no unit"
    if len(meant) > 1:
        return form.fault("unit-missing", f"{detail}; it could be {' or '.join(meant)}", None, tuple(meant))
    return form.fault("unit-missing", detail, meant[0] if meant else _likely(number, form))


def _wrong_reading(number: float, spelling: Spelling, form: NumberForm) -> Fault:
    unit, reading = spelling.unit, spelling.reading
    given = f"{amount(number, unit.text)} {reading}"
    if form.reading not in ("gauge", "absolute"):
        return form.fault(
            "wrong-reading", f"{given} was given, but a pressure difference is neither absolute nor gauge"
        )
    step = STANDARD_ATMOSPHERE if reading == "gauge" else -STANDARD_ATMOSPHERE
    rough = _rough(number + step / unit.factor)
    detail = (
        f"this field takes {form.reading} pressure; "
        f"{given} would be about {rough} {unit.text} {form.reading} at sea level"
    )
    likely = standard(rough, unit.text + (" abs" if reading == "gauge" else ""), form)
    return form.fault("wrong-reading", detail, likely)


def _likely(number: float, form: NumberForm, given: Unit | None = None) -> str | None:
    """The same number with the unit that was probably meant: a usual value first, then a unit of the same
    kind.
    """
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
    meaning = find(spelling, form)
    assert meaning is not None, "a number that can be read has a unit"
    text = next(word for word, unit in DIMENSIONS[meaning.dimension].units.items() if unit is meaning.unit)
    if meaning.reading == "absolute":
        text = f"{text} abs"
    if meaning.place and not meaning.unit.place:
        text = f"{text} at the {meaning.place}"
    shown = number if len(number) <= LONGEST_REPEATED else show(float(number))
    return amount_text(shown, f"{text} {meaning.scale or ''}".strip())


def _rough(number: float) -> str:
    tenths_do = abs(round(number, 1) - number) <= ROUND_WITHIN * abs(number) and abs(number) < TENTHS_BELOW
    return f"{number:.1f}" if tenths_do else show(float(f"{number:.3g}"))
