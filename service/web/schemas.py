"""The request of an evaluation as a marshmallow schema: one field for the build, the rest plain words."""

from itertools import chain, islice

from marshmallow import RAISE, Schema, ValidationError, fields, validate

from service.errors import SpecError, SpecFault
from service.evaluation.evaluate import Request
from service.evaluation.spec import MAX_FAULTS, SpecReader, pointer_part
from service.rulebook.choice_reading import nearest
from service.rulebook.rulebook import Rulebook
from service.web.problems import ProblemError

DETAILS = ("verdict", "summary", "full")
UNITS = ("metric", "us")
INCLUDES = ("questions",)


class _Build(fields.Field):
    """The build goes through untouched: it is read by the rulebook's own readers, one loop, SI out."""

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, dict):
            raise ValidationError("wrong-type")
        if "parts" in value:
            raise ProblemError(422, "no-catalog", "No catalog of parts is loaded, so part numbers mean nothing here.", "Give the parts' own figures in the build.")
        return value


class _Text(fields.String):
    """A string and nothing that can be turned into one."""

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, str):
            raise ValidationError("wrong-type")
        return value


class _Words(fields.Field):
    """A list of words out of a set."""

    def __init__(self, words, **kwargs):
        self.words = words
        super().__init__(**kwargs)

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, list) or len(value) > len(self.words) or not all(isinstance(word, str) for word in value):
            raise ValidationError("wrong-type")
        wrong = {position: word for position, word in enumerate(value) if word not in self.words}
        if wrong:
            raise ValidationError(wrong)
        return tuple(dict.fromkeys(value))


def evaluation_schema(rulebook: Rulebook) -> Schema:
    """The schema of POST /v1/evaluations for one rulebook."""
    checks = tuple(rulebook.checks)
    return Schema.from_dict(
        {
            "build": _Build(required=True),
            "detail": _Text(validate=validate.OneOf(DETAILS)),
            "units": _Text(validate=validate.OneOf(UNITS)),
            "include": _Words(INCLUDES),
            "checks": _Words(checks),
            "require": _Words(checks),
            "rulebook": _Text(),
        },
        name="EvaluationRequest",
    )(unknown=RAISE)


_ALLOWED = {"detail": DETAILS, "units": UNITS, "include": INCLUDES}


def load_request(schema: Schema, body: dict, rulebook: Rulebook, reader: SpecReader) -> tuple[Request, str | None]:
    """The request and the rulebook it pins; SpecError with every fault of its own fields."""
    try:
        loaded = schema.load(body)
    except ValidationError as error:
        own = (fault for key, found in error.messages.items() for fault in _faults(str(key), found, error.data, schema, rulebook))
        raise SpecError(list(islice(chain(own, _build_faults(body, reader)), MAX_FAULTS))) from error
    pinned = loaded.pop("rulebook", None)
    return Request(**loaded), pinned


def _build_faults(body: dict, reader: SpecReader) -> list[SpecFault]:
    """The faults inside the build, so that one answer names all of them."""
    if not isinstance(body.get("build"), dict):
        return []
    try:
        reader.read(body["build"])
    except SpecError as error:
        return error.faults
    return []


def _faults(key: str, found, body: dict, schema: Schema, rulebook: Rulebook) -> list[SpecFault]:
    pointer = f"/{pointer_part(key)}"
    if key not in schema.fields:
        if key in {one.group or one.name for one in rulebook.inputs.values()}:
            return [SpecFault(pointer, "unknown-key", "This belongs inside the build.", "build", f"build.{key}")]
        return [SpecFault(pointer, "unknown-key", "There is no such field of a request.", ", ".join(schema.fields), nearest(key[:64], schema.fields))]
    if key not in body:
        return [SpecFault(pointer, "missing", "The request has no build.", '{"build": {...}}')]
    words = _ALLOWED.get(key, tuple(rulebook.checks))
    expected = ", ".join(words) if key in (*_ALLOWED, "checks", "require") else {"build": "a JSON object", "rulebook": "the digest of a rulebook, sha256:..."}[key]
    if isinstance(body[key], list) and isinstance(found, list) and found and isinstance(found[0], dict):
        found = found[0]
    if isinstance(found, dict):
        return [SpecFault(f"{pointer}/{position}", "unknown-word", "This is not one of the words that fit here.", expected, nearest(str(word)[:64], words)) for position, word in found.items()]
    if isinstance(body[key], str) and isinstance(schema.fields[key], _Text):
        return [SpecFault(pointer, "unknown-word", "This is not one of the words that fit here.", expected, nearest(body[key][:64], words))]
    return [SpecFault(pointer, "wrong-type", "This is not of the kind that fits here.", expected)]
