"""From one JSON value of a client to a number in SI, or to a fault that says how to fix it.

Nothing a client wrote is repeated: notes and faults hold only numbers that were read and words of our own.
"""

from typing import TypeGuard

from service.units.fault import LONGEST_TEXT, Fault
from service.units.messy_text import PLAIN, read_text
from service.units.number_form import NumberForm, Reading
from service.units.plain_number import Tolerance, read_plain, with_tolerance
from service.units.spelling import find

_KEYS = {"value", "unit"}


def read_number(value: object, form: NumberForm) -> Reading | Fault:
    """A JSON value read as one number of the given form, in SI; never raises for a JSON value."""
    if isinstance(value, str):
        return _read_text(value, form)
    if isinstance(value, bool):
        return form.fault("wrong-type", "this is not a number")
    if isinstance(value, (float, int)):
        return read_plain(value, "", form)
    if isinstance(value, dict):
        return _read_object(value, form)
    return form.fault("wrong-type", "this is not a number")


def _read_text(text: str, form: NumberForm) -> Reading | Fault:
    if len(text) > LONGEST_TEXT:
        return form.fault("too-long", f"the text is longer than {LONGEST_TEXT} characters")
    match = PLAIN.match(text)
    quick = form.quick.get(match[2]) if match else None
    if match and quick is not None:
        dimension, factor, offset, low, high = quick
        number = float(match[1]) * factor + offset
        if low <= number <= high:
            return Reading(dimension, number)
    return read_text(text, form)


def _read_object(value: dict[str, object], form: NumberForm) -> Reading | Fault:
    """`{"value": 12, "unit": "psi"}`, with a `tolerance` in the same unit if there is one."""
    if not _KEYS <= value.keys() <= _KEYS | {"tolerance"}:
        return form.fault(
            "wrong-shape", "an object holds `value` and `unit`, and may hold `tolerance` in the same unit"
        )
    number, spelling = value["value"], value["unit"]
    if not _is_number(number) or not isinstance(spelling, str):
        return form.fault("wrong-type", "`value` is a number and `unit` is text")
    if len(spelling) > LONGEST_TEXT:
        return form.fault("too-long", f"the unit is longer than {LONGEST_TEXT} characters")
    spelling = spelling.strip()
    reading = read_plain(number, spelling, form)
    if "tolerance" not in value or isinstance(reading, Fault):
        return reading
    width = value["tolerance"]
    if not _is_number(width):
        return form.fault("wrong-type", "`tolerance` is a number")
    unit = find(spelling, form)
    assert unit is not None, "a number that was read has a unit"
    return with_tolerance(reading, number, unit, Tolerance(width, spelling), form)


def _is_number(value: object) -> TypeGuard[float | int]:
    return isinstance(value, (float, int)) and not isinstance(value, bool)
