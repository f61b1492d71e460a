"""The requests as marshmallow schemas, one an endpoint, and how a body is loaded by one."""

from itertools import chain, islice

from marshmallow import RAISE, Schema, ValidationError, validate
from marshmallow.fields import Boolean, Raw

from service.advice.batches import MOST_BUILDS
from service.advice.choice import OBJECTIVES
from service.advice.limits import MOST_INPUTS
from service.catalog.slots import SLOTS
from service.errors import SpecError, SpecFault
from service.evaluation.reading.spec import MAX_FAULTS, SpecReader, pointer_part
from service.rulebook.rulebook import Rulebook
from service.units.choice_reading import nearest
from service.units.fault import Fault
from service.web.api.fields import MOST_COLUMNS, Build, Builds, Columns, Money, Speeds, Text, Words

DETAILS = ("verdict", "summary", "full")
UNITS = ("metric", "us")
COMPARED = ("power", "torque")
ALLOWED = ("pass", "warn")
INCLUDES = ("ranges", "questions", "remedies")
PINS = ("rulebook", "catalog")
INCLUDED = ("ranges", "questions")


class Schemas:
    """One schema an endpoint, for one rulebook."""

    def __init__(self, rulebook: Rulebook):
        checks = tuple(rulebook.checks)
        verdict = Text(validate=validate.OneOf(ALLOWED))
        pins = {what: Text() for what in PINS}
        common = {"checks": Words(checks), "units": Text(validate=validate.OneOf(UNITS))} | pins
        built = {"build": Build(required=True)} | common
        self.evaluation = _schema(
            "EvaluationRequest",
            built
            | {
                "detail": Text(validate=validate.OneOf(DETAILS)),
                "include": Words(INCLUDES),
                "require": Words(checks),
                "moment": Text(validate=validate.OneOf(tuple(rulebook.moments))),
            },
        )
        self.limits = _schema(
            "LimitsRequest",
            built | {"inputs": Words(tuple(rulebook.inputs), most=MOST_INPUTS), "verdict": verdict},
        )
        self.batch = _schema("BatchRequest", common | {"builds": Builds(required=True)})
        self.sweep = _schema("SweepRequest", built | {"columns": Columns(rulebook, required=True)})
        self.selection = _schema(
            "SelectionRequest",
            {name: field for name, field in built.items() if name != "units"}
            | {
                "slots": Words(tuple(SLOTS), least=1, required=True),
                "objective": Text(validate=validate.OneOf(OBJECTIVES)),
                "verdict": verdict,
                "budget": Money(),
                "in_stock": Boolean(truthy={True}, falsy={False}),
            },
        )
        words = {"units": common["units"]} | pins
        yes_no = lambda: Boolean(truthy={True}, falsy={False})
        self.corrections = _schema(
            "CorrectionsRequest",
            words | {"pulls": Raw(required=True), "weather": Raw(), "boost_controlled": yes_no()},
        )
        self.comparison = _schema(
            "ComparisonRequest",
            words
            | {
                "quantity": Text(required=True, validate=validate.OneOf(COMPARED)),
                "a": Raw(required=True),
                "b": Raw(required=True),
                "claimed": Raw(),
                "interleaved": yes_no(),
                "in_order": yes_no(),
            },
        )
        self.calibration = _schema(
            "CalibrationRequest", words | {"build": Build(required=True), "pulls": Raw(required=True)}
        )
        self.speed_curves = _schema(
            "SpeedCurvesRequest",
            {"build": Build(required=True), "speeds": Speeds(), "units": Text(validate=validate.OneOf(UNITS))}
            | pins,
        )


def _schema(name: str, words: dict) -> Schema:
    return Schema.from_dict(words, name=name)(unknown=RAISE)


def load_request(
    schema: Schema, body: dict, rulebook: Rulebook, reader: SpecReader
) -> tuple[dict, dict[str, str]]:
    """The fields of a request and what it pins; SpecError with every fault found."""
    try:
        loaded = schema.load(body)
    except ValidationError as error:
        own = (
            fault
            for key, found in error.messages.items()
            for fault in _faults(str(key), found, error.data, schema, rulebook)
        )
        raise SpecError(list(islice(chain(own, _build_faults(body, reader)), MAX_FAULTS))) from error
    return loaded, {what: loaded.pop(what) for what in PINS if what in loaded}


def _build_faults(body: dict, reader: SpecReader) -> list[SpecFault]:
    """The faults inside the build, so that one answer names all of them."""
    if not isinstance(body.get("build"), dict):
        return []
    try:
        reader.read({key: value for key, value in body["build"].items() if key != "parts"})
    except SpecError as error:
        return error.faults
    return []


def _faults(key: str, found, body: dict, schema: Schema, rulebook: Rulebook) -> list[SpecFault]:
    pointer = f"/{pointer_part(key)}"
    if key not in schema.fields:
        if key in {one.group or one.name for one in rulebook.inputs.values()}:
            return [
                SpecFault(pointer, "unknown-key", "This belongs inside the build.", "build", f"build.{key}")
            ]
        return [
            SpecFault(
                pointer,
                "unknown-key",
                "There is no such field of a request.",
                ", ".join(schema.fields),
                nearest(key[:64], schema.fields),
            )
        ]
    if key not in body:
        return [
            SpecFault(
                pointer,
                "missing",
                f"The request has no {key}.",
                {
                    "build": '{"build": {...}}',
                    "builds": '{"builds": [{...}, ...]}',
                    "slots": '{"slots": ["injectors", ...]}',
                    "columns": '{"columns": {"induction.boost": [...]}}',
                    "pulls": '{"pulls": [...]}',
                    "quantity": "power or torque",
                    "a": "pulls, curves or a summary",
                    "b": "pulls, curves or a summary",
                }[key],
            )
        ]
    if isinstance(found, dict) and all(isinstance(fault, Fault) for fault in found.values()):
        return [SpecFault(f"{pointer}/{pointer_part(part)}", *fault) for part, fault in found.items()]
    words = {
        "quantity": COMPARED,
        "objective": OBJECTIVES,
        "slots": tuple(SLOTS),
        "detail": DETAILS,
        "units": UNITS,
        "include": INCLUDES,
        "moment": tuple(rulebook.moments),
        "checks": tuple(rulebook.checks),
        "require": tuple(rulebook.checks),
        "verdict": ALLOWED,
        "inputs": tuple(rulebook.inputs),
    }.get(key, ())
    # The words of inputs are too many to list.
    expected = (
        f"up to {MOST_INPUTS} of the names listed by GET /v1/inputs"
        if key == "inputs"
        else ", ".join(words)
        or {
            "build": "a JSON object",
            "builds": f"a list of 1 to {MOST_BUILDS} builds, each a JSON object",
            "columns": f'{{"induction.boost": ["8 psi", "9 psi"]}}, up to {MOST_COLUMNS} inputs',
            "budget": "an amount such as 12500 in the catalog's currency",
            "in_stock": "true or false",
            "interleaved": "true or false",
            "in_order": "true or false",
            "boost_controlled": "true or false",
            "pulls": "a list of pulls",
            "weather": "an object",
            "a": "pulls",
            "b": "pulls",
            "claimed": "a number with its unit",
            "speeds": '{"from": "2000 rpm", "to": "6500 rpm", "count": 16}',
            "rulebook": "the digest of a rulebook, sha256:...",
            "catalog": "the digest of a catalog, sha256:...",
        }[key]
    )
    if isinstance(body[key], list) and isinstance(found, list) and found and isinstance(found[0], dict):
        found = found[0]
    if isinstance(found, dict):
        return [
            SpecFault(
                f"{pointer}/{position}",
                "unknown-word",
                "This is not one of the words that fit here.",
                expected,
                nearest(str(word)[:64], words),
            )
            for position, word in found.items()
        ]
    if isinstance(body[key], str) and isinstance(schema.fields[key], Text):
        return [
            SpecFault(
                pointer,
                "unknown-word",
                "This is not one of the words that fit here.",
                expected,
                nearest(body[key][:64], words),
            )
        ]
    return [SpecFault(pointer, "wrong-type", "This is not of the kind that fits here.", expected)]
