"""From one JSON value of a client to a number in SI, or to a fault that says how to mend it.

Nothing a client wrote is repeated: notes and faults hold only numbers that were read and words of our own.
"""

from service.units.fault import LONGEST_TEXT, Fault
from service.units.messy_text import PLAIN, read_text
from service.units.number_form import NumberForm, Reading
from service.units.plain_number import find, read_plain, with_tolerance


def read_number(value: object, form: NumberForm) -> Reading | Fault:
    """A JSON value read as one number of the given form, in SI; never raises for a JSON value."""
    kind = type(value)
    if kind is str:
        if len(value) > LONGEST_TEXT:
            return form.fault("too-long", f"the text is longer than {LONGEST_TEXT} characters")
        match = PLAIN.match(value)
        quick = form.quick.get(match[2]) if match else None
        if quick is not None:
            dimension, factor, offset, low, high = quick
            number = float(match[1]) * factor + offset
            if low <= number <= high:
                return Reading(dimension, number)
        return read_text(value, form)
    if kind is float or kind is int:
        return read_plain(value, "", form)
    if kind is dict:
        if not {"value", "unit"} <= value.keys() <= {"value", "unit", "tolerance"}:
            return form.fault(
                "wrong-shape", "an object holds `value` and `unit`, and may hold `tolerance` in the same unit"
            )
        number, unit = value["value"], value["unit"]
        if type(number) not in (int, float) or type(unit) is not str:
            return form.fault("wrong-type", "`value` is a number and `unit` is text")
        if len(unit) > LONGEST_TEXT:
            return form.fault("too-long", f"the unit is longer than {LONGEST_TEXT} characters")
        reading = read_plain(number, unit.strip(), form)
        if "tolerance" not in value or type(reading) is Fault:
            return reading
        if type(value["tolerance"]) not in (int, float):
            return form.fault("wrong-type", "`tolerance` is a number")
        return with_tolerance(
            reading, number, find(unit.strip(), form), value["tolerance"], unit.strip(), form
        )
    return form.fault("wrong-type", "this is not a number")
