"""A number without a tolerance, which would be lost where a request moves it."""

from service.units.fault import Fault
from service.units.number_form import NumberForm, Reading
from service.units.reading import read_number


def read_lone_number(value: object, form: NumberForm) -> Reading | Fault:
    """The number in SI; a fault where it has a tolerance."""
    reading = read_number(value, form)
    if isinstance(reading, Reading) and reading.spread:
        return form.fault("tolerance", "this field takes no tolerance; please give the number alone")
    return reading
