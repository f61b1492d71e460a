"""Request fields that stand for themselves: builds, words, switches, amounts, digests."""

from collections.abc import Sequence
from typing import Any

from marshmallow import ValidationError

from service.advice.batches import MOST_BUILDS
from service.units.choice_reading import nearest
from service.units.fault import Fault
from service.web.api.json_schema import TEXT, Schema, list_of, one_of, ref
from service.web.api.requests.request_field import WHOLE, RequestField

MOST_MONEY = 10_000_000


class Build(RequestField):
    """The build goes through in its groups: it is read by the rulebook's own readers, one loop, SI out."""

    expected = "a JSON object"
    example = '{"build": {...}}'

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> dict[str, Any]:
        if not isinstance(value, dict):
            raise self.wrong_type()
        return value

    def shape(self) -> Schema:
        return ref("Build")


class Builds(RequestField):
    """A list of builds; each is read by itself, so that a bad one does not spoil the rest."""

    expected = f"a list of 1 to {MOST_BUILDS} builds, each a JSON object"
    example = '{"builds": [{...}, ...]}'

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> list[dict[str, Any]]:
        if (
            not isinstance(value, list)
            or not 1 <= len(value) <= MOST_BUILDS
            or not all(isinstance(build, dict) for build in value)
        ):
            raise self.wrong_type()
        return value

    def shape(self) -> Schema:
        about = "A build; a faulty one gets its faults as its entry."
        return list_of({"type": "object", "description": about}, 1, MOST_BUILDS)


class Word(RequestField):
    """One word out of a set."""

    def __init__(self, words: Sequence[str], default: str | None = None, **rest: Any):
        super().__init__(**rest)
        self.words, self.default = tuple(words), default
        self.expected = ", ".join(words)
        self.example = " or ".join(words)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise self.wrong_type()
        if value not in self.words:
            raise ValidationError({WHOLE: _unknown_word(value, self.words, self.expected)})
        return value

    def shape(self) -> Schema:
        return one_of(self.words) | ({"default": self.default} if self.default else {})


class Words(RequestField):
    """A list of words out of a set; `expected` where the set is too large to be listed."""

    def __init__(
        self,
        words: Sequence[str],
        *,
        least: int | None = None,
        most: int | None = None,
        expected: str | None = None,
        **rest: Any,
    ):
        super().__init__(**rest)
        self.words, self.least, self.most = tuple(words), least, most or len(words)
        self.expected = expected or ", ".join(words)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> tuple[str, ...]:
        if (
            not isinstance(value, list)
            or not (self.least or 0) <= len(value) <= self.most
            or not all(isinstance(word, str) for word in value)
        ):
            raise self.wrong_type()
        faults = {
            position: _unknown_word(word, self.words, self.expected)
            for position, word in enumerate(value)
            if word not in self.words
        }
        if faults:
            raise ValidationError(faults)
        return tuple(dict.fromkeys(value))

    def shape(self) -> Schema:
        return list_of(one_of(self.words), self.least, self.most)


class Checks(Words):
    """A list of checks of the rulebook, which the contract lists once."""

    def shape(self) -> Schema:
        return list_of(ref("CheckId"), self.least, self.most)


class Parts(Words):
    """Parts of an answer that may be left out."""

    def __init__(self, words: Sequence[str], default: Sequence[str], **rest: Any):
        super().__init__(words, **rest)
        self.default = default

    def shape(self) -> Schema:
        return super().shape() | {"default": list(self.default)}


class Switch(RequestField):
    """True or false."""

    expected = "true or false"

    def __init__(self, default: bool, **rest: Any):
        super().__init__(**rest)
        self.default = default

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> bool:
        # 1 and 0 equal them, and are taken for them.
        if not isinstance(value, bool | int | float) or value not in (True, False):
            raise self.wrong_type()
        return bool(value)

    def shape(self) -> Schema:
        return {"type": "boolean", "default": self.default}


class Money(RequestField):
    """An amount in the currency of the catalog, to hundredths."""

    expected = "an amount such as 12500 in the catalog's currency"

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> int:
        if type(value) not in (int, float) or not 0 <= value <= MOST_MONEY:
            raise self.wrong_type()
        return round(float(value) * 100)

    def shape(self) -> Schema:
        return {"type": "number", "minimum": 0, "maximum": MOST_MONEY}


class Digest(RequestField):
    """The digest of what has to be loaded."""

    def __init__(self, of: str, **rest: Any):
        super().__init__(**rest)
        self.expected = f"the digest of a {of}, sha256:..."

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise self.wrong_type()
        return value

    def shape(self) -> Schema:
        return TEXT


def _unknown_word(word: str, words: tuple[str, ...], expected: str) -> Fault:
    detail = "This is not one of the words this field takes."
    return Fault("unknown-word", detail, expected, nearest(word[:64], words))
