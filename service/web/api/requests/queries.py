"""The words after the question mark: which entries of a list are asked for, and which page of them."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from marshmallow import ValidationError
from werkzeug.datastructures import MultiDict

from service.errors import SpecError, SpecFault
from service.rulebook.rulebook import Rulebook
from service.units.choice_reading import nearest
from service.units.fault import LONGEST_TEXT, Fault
from service.web.api.json_schema import TEXT, Schema
from service.web.api.requests.plain_fields import Word
from service.web.api.requests.request_field import WHOLE, RequestField

MOST_ENTRIES = 1000
PAGED = ("page_size", "page_token")


class PageSize(RequestField):
    """How many entries a page has at most."""

    expected = f"a whole number from 1 to {MOST_ENTRIES}"

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> int:
        if not re.fullmatch("[0-9]{1,6}", value):
            raise self.wrong_type()
        if not 1 <= int(value) <= MOST_ENTRIES:
            fault = Fault("out-of-range", "There is no page of that size.", self.expected)
            raise ValidationError({WHOLE: fault})
        return int(value)

    def shape(self) -> Schema:
        return {"type": "integer", "minimum": 1, "maximum": MOST_ENTRIES, "default": MOST_ENTRIES}


class Text(RequestField):
    """Any short text."""

    expected = f"a text of at most {LONGEST_TEXT} characters"

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        if len(value) > LONGEST_TEXT:
            raise ValidationError({WHOLE: Fault("too-long", "This text is too long.", self.expected)})
        return str(value)

    def shape(self) -> Schema:
        return TEXT | {"maxLength": LONGEST_TEXT}


def query_fields(rulebook: Rulebook) -> dict[str, RequestField]:
    """Every word that a query may have, by its name."""
    groups = dict.fromkeys(source.group for source in rulebook.inputs.values() if source.group)
    return {
        "slot": Word(tuple(rulebook.slots), about="Parts of this slot only."),
        "group": Word(tuple(groups), about="Inputs of this group only."),
        "q": Text(about="Entries whose texts hold all of these words."),
        "page_size": PageSize(about="How many entries at most."),
        "page_token": Text(about="The `next_page_token` of the page before."),
    }


class QueryLoader:
    """Reads queries for one rulebook."""

    def __init__(self, rulebook: Rulebook):
        self.fields = query_fields(rulebook)

    def load(self, allowed: Sequence[str], given: MultiDict[str, str]) -> dict[str, Any]:
        """The words of a query; SpecError where one is not allowed, occurs twice or cannot be read."""
        words: dict[str, Any] = {}
        faults: list[SpecFault] = []
        for word, values in given.lists():
            fault = _unknown(word, allowed) if word not in allowed else _repeated(values)
            if fault is None:
                try:
                    words[word] = self.fields[word].deserialize(values[0])
                    continue
                except ValidationError as error:
                    messages: Mapping[str, Fault] = error.messages_dict
                    fault = messages[WHOLE]
            faults.append(SpecFault(f"?{word[:64]}", *fault))
        if faults:
            raise SpecError(faults[:MOST_FAULTS])
        return words


MOST_FAULTS = 20


def _unknown(word: str, allowed: Sequence[str]) -> Fault:
    expected = ", ".join(allowed) or "no query; what is asked belongs in the path or the body"
    return Fault("unknown-key", "There is no such query word.", expected, nearest(word[:64], allowed))


def _repeated(values: Sequence[str]) -> Fault | None:
    if len(values) == 1:
        return None
    return Fault("repeated", "This query word is given more than once.", "each word once")
