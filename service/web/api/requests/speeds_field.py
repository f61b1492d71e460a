"""The field `speeds`: from which to which engine speed, and how many."""

from typing import Any

from marshmallow import ValidationError

from service.evaluation.speed_curves import DEFAULT_COUNT, MOST_SPEEDS, SpeedRange
from service.units.choice_reading import nearest, read_count
from service.units.fault import Fault
from service.units.number_form import NumberForm
from service.web.api.json_schema import Schema, closed, quantity, record
from service.web.api.requests.lone_number import read_lone_number
from service.web.api.requests.request_field import RequestField

SPEED = NumberForm(
    label="Engine speed", dimensions=("rotational_speed",), possible={"rotational_speed": (10.0, 3000.0)}
)
_KEYS = ("from", "to", "count")


class Speeds(RequestField):
    """A range of engine speeds; each of its words may be left out."""

    expected = '{"from": "2000 rpm", "to": "6500 rpm", "count": 16}'

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> SpeedRange:
        if not isinstance(value, dict):
            raise self.wrong_type()
        faults: dict[str, Fault] = {}
        ends: dict[str, float] = {}
        count = DEFAULT_COUNT
        for key, given in value.items():
            number = _read(key, given)
            if isinstance(number, Fault):
                faults[key] = number
            elif key == "count":
                count = int(number)
            else:
                ends[key] = number
        if faults:
            raise ValidationError(faults)
        return SpeedRange(ends.get("from"), ends.get("to"), count)

    def shape(self) -> Schema:
        speed = quantity(("rotational_speed",))
        count: Schema = {"type": "integer", "minimum": 2, "maximum": MOST_SPEEDS}
        return closed(record({}, {"from": speed, "to": speed, "count": count}))


def _read(key: str, given: object) -> float | Fault:
    if key == "count":
        return read_count(given, "Number of speeds", (2, MOST_SPEEDS))
    if key not in _KEYS:
        detail = "There is no such word of a speed range."
        return Fault("unknown-key", detail, ", ".join(_KEYS), nearest(key[:64], _KEYS))
    reading = read_lone_number(given, SPEED)
    return reading if isinstance(reading, Fault) else reading.value
