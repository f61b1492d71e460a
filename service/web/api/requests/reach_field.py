"""The field `reach`: the quantity to reach, its value, and the operating point."""

from typing import Any

from marshmallow import ValidationError

from service.advice.solutions import Reach
from service.rulebook.rulebook import Rulebook
from service.units.choice_reading import nearest
from service.units.fault import Fault
from service.web.api.json_schema import Schema, closed, described, one_of, open_word, record
from service.web.api.requests.request_field import RequestField

_KEYS = ("quantity", "value", "at")
LONGEST_NAME = 64


class Reached(RequestField):
    """A quantity of the rulebook with the value it is to reach."""

    expected = '{"quantity": "boost_from_drive", "value": "10 psi"}'

    def __init__(self, rulebook: Rulebook, **rest: Any):
        super().__init__(**rest)
        self.rulebook = rulebook

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Reach:
        if not isinstance(value, dict):
            raise self.wrong_type()
        faults = {key: _unknown(key, _KEYS, "word of `reach`") for key in value if key not in _KEYS}
        faults |= {
            key: Fault("missing", f"`{key}` is missing.", self.expected)
            for key in ("quantity", "value")
            if key not in value
        }
        for key, known in (("quantity", self.rulebook.quantities), ("at", self.rulebook.points)):
            if key in value and (not isinstance(value[key], str) or value[key] not in known):
                faults[key] = _unknown(
                    value[key], tuple(known), "quantity" if key == "quantity" else "operating point"
                )
        if faults:
            raise ValidationError(faults)
        return Reach(value["quantity"], value["value"], value.get("at"))

    def shape(self) -> Schema:
        names = list(self.rulebook.quantities)
        dimensions = sorted({found.dimension for found in self.rulebook.quantities.values()})
        words = {
            "quantity": described(open_word(names), "A quantity, as GET /v1/quantities lists them."),
            "value": described(_any_number(dimensions), "With its unit."),
        }
        at = described(one_of(list(self.rulebook.points)), "Where a quantity differs from point to point.")
        return closed(record(words, {"at": at}))


def _any_number(dimensions: list[str]) -> Schema:
    """A number of any dimension; which one fits depends on the quantity."""
    return {"title": "AnyFigure", "type": ["string", "number", "object"]}


def _unknown(word: object, known: tuple[str, ...], what: str) -> Fault:
    text = word if isinstance(word, str) else ""
    expected = "one of those listed by GET /v1/quantities" if len(known) > 20 else ", ".join(known)
    return Fault("unknown-word", f"There is no such {what}.", expected, nearest(text[:LONGEST_NAME], known))
