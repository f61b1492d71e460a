"""The request of an evaluation as a marshmallow schema: one field for the build, the rest plain words."""

from itertools import chain, islice

from marshmallow import RAISE, Schema, ValidationError, fields, validate

from service.advice.limits import MOST_INPUTS
from service.errors import SpecError, SpecFault
from service.evaluation.speed_curves import DEFAULT_COUNT, MOST_SPEEDS, SpeedRange
from service.evaluation.spec import MAX_FAULTS, SpecReader, pointer_part
from service.rulebook.choice_reading import nearest, read_count
from service.rulebook.fault import Fault
from service.rulebook.number_form import NumberForm
from service.rulebook.reading import read_number
from service.rulebook.rulebook import Rulebook
from service.web.problems import ProblemError

DETAILS = ("verdict", "summary", "full")
UNITS = ("metric", "us")
ALLOWED = ("pass", "warn")
INCLUDES = ("ranges", "questions", "remedies")
INCLUDED = ("ranges", "questions")


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

    def __init__(self, words, most=None, **kwargs):
        self.words = words
        self.most = most or len(words)
        super().__init__(**kwargs)

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, list) or len(value) > self.most or not all(isinstance(word, str) for word in value):
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
            "moment": _Text(validate=validate.OneOf(tuple(rulebook.moments))),
            "rulebook": _Text(),
        },
        name="EvaluationRequest",
    )(unknown=RAISE)


def limits_schema(rulebook: Rulebook) -> Schema:
    """The schema of POST /v1/limits."""
    return Schema.from_dict(
        {
            "build": _Build(required=True),
            "inputs": _Words(tuple(rulebook.inputs), most=MOST_INPUTS),
            "checks": _Words(tuple(rulebook.checks)),
            "verdict": _Text(validate=validate.OneOf(ALLOWED)),
            "units": _Text(validate=validate.OneOf(UNITS)),
            "rulebook": _Text(),
        },
        name="LimitsRequest",
    )(unknown=RAISE)


class _Speeds(fields.Field):
    """From which to which speed, and how many."""

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, dict):
            raise ValidationError("wrong-type")
        faults: dict[str, Fault] = {}
        ends = {}
        for key, given in value.items():
            if key in ("from", "to"):
                made = read_number(given, SPEED)
            elif key == "count":
                made = read_count(given, "Number of speeds", (2, MOST_SPEEDS))
            else:
                made = Fault("unknown-key", "There is no such word of a speed range.", "from, to, count", nearest(key[:64], ("from", "to", "count")))
            if isinstance(made, Fault):
                faults[key] = made
            else:
                ends[key] = made if key == "count" else made.value
        if faults:
            raise ValidationError(faults)
        return SpeedRange(ends.get("from"), ends.get("to"), ends.get("count", DEFAULT_COUNT))


def speed_curves_schema() -> Schema:
    """The schema of POST /v1/speed-curves."""
    return Schema.from_dict({"build": _Build(required=True), "speeds": _Speeds(), "units": _Text(validate=validate.OneOf(UNITS)), "rulebook": _Text()}, name="SpeedCurvesRequest")(unknown=RAISE)


SPEED = NumberForm(label="Engine speed", dimensions=("rotational_speed",), possible={"rotational_speed": (10.0, 3000.0)})


def load_request(schema: Schema, body: dict, rulebook: Rulebook, reader: SpecReader) -> tuple[dict, str | None]:
    """The fields of a request and the rulebook it pins; SpecError with every fault found."""
    try:
        loaded = schema.load(body)
    except ValidationError as error:
        own = (fault for key, found in error.messages.items() for fault in _faults(str(key), found, error.data, schema, rulebook))
        raise SpecError(list(islice(chain(own, _build_faults(body, reader)), MAX_FAULTS))) from error
    pinned = loaded.pop("rulebook", None)
    return loaded, pinned


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
    if isinstance(found, dict) and all(isinstance(fault, Fault) for fault in found.values()):
        return [SpecFault(f"{pointer}/{pointer_part(part)}", *fault) for part, fault in found.items()]
    words = {"detail": DETAILS, "units": UNITS, "include": INCLUDES, "moment": tuple(rulebook.moments), "checks": tuple(rulebook.checks), "require": tuple(rulebook.checks), "verdict": ALLOWED, "inputs": tuple(rulebook.inputs)}.get(key, ())
    # The words of inputs are too many to list.
    expected = f"up to {MOST_INPUTS} of the names listed by GET /v1/inputs" if key == "inputs" else ", ".join(words) or {"build": "a JSON object", "speeds": '{"from": "2000 rpm", "to": "6500 rpm", "count": 16}', "rulebook": "the digest of a rulebook, sha256:..."}[key]
    if isinstance(body[key], list) and isinstance(found, list) and found and isinstance(found[0], dict):
        found = found[0]
    if isinstance(found, dict):
        return [SpecFault(f"{pointer}/{position}", "unknown-word", "This is not one of the words that fit here.", expected, nearest(str(word)[:64], words)) for position, word in found.items()]
    if isinstance(body[key], str) and isinstance(schema.fields[key], _Text):
        return [SpecFault(pointer, "unknown-word", "This is not one of the words that fit here.", expected, nearest(body[key][:64], words))]
    return [SpecFault(pointer, "wrong-type", "This is not of the kind that fits here.", expected)]
