"""One field of a request, all in one place: how it is read, what it expects in words, its schema."""

from abc import abstractmethod
from typing import Any

from marshmallow import ValidationError
from marshmallow.fields import Field

from service.units.fault import Fault
from service.web.api.json_schema import Schema, described

# A fault of the whole field, where others are of an entry inside it.
WHOLE = ""


class RequestField(Field[Any]):
    """A field that is refused with faults by place, in words of our own."""

    # What fits, for whoever wrote something else.
    expected: str
    # What a request that lacks the field should hold.
    example = ""

    def __init__(self, *, required: bool = False, about: str | None = None, example: str | None = None):
        super().__init__(required=required)
        self.about = about
        self.example = example or self.example

    @property
    def schema(self) -> Schema:
        """What the contract says of the field."""
        return described(self.shape(), self.about)

    @abstractmethod
    def shape(self) -> Schema:
        """The schema without its sentence."""

    def wrong_type(self) -> ValidationError:
        """The value is of another kind."""
        detail = "This is not the kind of value this field takes."
        return ValidationError({WHOLE: Fault("wrong-type", detail, self.expected)})

    def make_error(self, key: str, **kwargs: Any) -> ValidationError:
        """What marshmallow itself refuses: a required field that is missing, and null."""
        if key == "required":
            return ValidationError(
                {WHOLE: Fault("missing", f"The request has no {self.name}.", self.example)}
            )
        return self.wrong_type()
