"""Random requests made readable, so that they reach the computing. By the contract alone nearly all would be
refused: most numbers cannot be right, and a random pin is never what is loaded.

schemathesis loads this module by itself (SCHEMATHESIS_HOOKS). What it makes up keeps its form, its fields and
its words; numbers are drawn anew from where they are possible, and what has to go together is made to. Pins
are left out nine times in ten, and one request in twenty stays as it was.
"""

import json
import random
from itertools import pairwise

import schemathesis
from hypothesis import strategies
from schemathesis import GenerationMode

from service.catalog.load import load_catalog
from service.evaluation.evaluate import Evaluator
from service.rulebook.load import load_rulebook
from service.units.number_form import NumberForm
from service.units.units import DIMENSIONS
from service.web.api.contract.document import contract
from service.web.api.requests.figures import FORMS
from service.web.api.requests.requests import PINS
from tests.support.places import CATALOG, RULES

RULEBOOK = load_rulebook(RULES)
PARTS = load_catalog(str(CATALOG), Evaluator(RULEBOOK).reader)
SHARE_OF_PINS, SHARE_UNTOUCHED = 0.1, 0.05
# Of what is tried with each other the work is counted, and refused beyond a cap.
MOST_SLOTS, MOST_CANDIDATES = 3, 20


def register_formats() -> None:
    """Texts for every format of the contract: a number with one of the units that are offered for it."""
    formats = {}

    def look(schema):
        if isinstance(schema, dict):
            if "x-units" in schema:
                text = next(kind for kind in schema["oneOf"] if kind["type"] == "string")
                formats[text["format"]] = schema["x-units"] or [""]
            for part in schema.values():
                look(part)
        elif isinstance(schema, list):
            for part in schema:
                look(part)

    look(contract(RULEBOOK)["components"]["schemas"])
    numbers = strategies.floats(0.1, 1000).map("{:.4g}".format)
    for name, units in formats.items():
        texts = strategies.tuples(numbers, strategies.sampled_from(units)).map(" ".join).map(str.strip)
        schemathesis.openapi.format(name, texts)


register_formats()


def _is_to_be_taken(case) -> bool:
    return (
        case.meta is not None
        and case.meta.generation.mode is GenerationMode.POSITIVE
        and isinstance(case.body, dict)
    )


@schemathesis.hook
def map_case(context, case):
    """A request that is to be taken, made readable; one that is to be refused stays as it is."""
    if _is_to_be_taken(case):
        source = random.Random(json.dumps(case.body, sort_keys=True, default=str))
        if source.random() >= SHARE_UNTOUCHED:
            case.body = readable(case.operation.path, case.body, source)
    return case


@schemathesis.hook
def before_call(context, case, kwargs):
    """Pins left out, of systematic requests too."""
    if _is_to_be_taken(case):
        source = random.Random(json.dumps(case.body, sort_keys=True, default=str))
        if source.random() >= SHARE_OF_PINS:
            case.body = {key: value for key, value in case.body.items() if key not in PINS}


def readable(path: str, body: dict, source: random.Random) -> dict:
    """The request with numbers that are possible."""
    body = dict(body)
    if isinstance(body.get("build"), dict):
        body["build"] = build(body["build"], source)
    if path == "/v1/build-comparisons":
        body["builds"] = compared(body["builds"], source)
    elif "builds" in body:
        body["builds"] = [build(one, source) for one in body["builds"]]
    if "columns" in body:
        body["columns"] = columns(body["columns"], source)
    if "inputs" in body:
        body["inputs"] = [path for path in body["inputs"] if RULEBOOK.inputs[path].steps]
    if "reach" in body:
        body["find"] = source.choice([path for path, one in RULEBOOK.inputs.items() if one.steps])
        body["reach"] = reached(body["reach"], source)
    if "slots" in body:
        body["slots"] = [slot for slot in body["slots"] if slot in PARTS.slots][:MOST_SLOTS] or ["clutch"]
    if path == "/v1/speed-curves":
        ends = sorted(source.uniform(1000, 8000) for _ in range(2))
        speeds = dict(zip(("from", "to"), (f"{end:.0f} rpm" for end in ends), strict=True))
        body["speeds"] = body.get("speeds", {}) | speeds
    if "pulls" in body:
        pulls(body, source)
    if "a" in body:
        sides(body, source)
    return body


def build(given: dict, source: random.Random) -> dict:
    """The fields of a build that it has, each with a value that is possible."""
    made = {}
    for key, value in given.items():
        if key == "parts" or key in RULEBOOK.inputs:
            made[key] = parts(value, source) if key == "parts" else value
        elif isinstance(value, dict):
            fields = {name: field(f"{key}.{name}", old, source) for name, old in value.items()}
            made[key] = {name: new for name, new in fields.items() if new is not None}
    return made


def reached(given: dict, source: random.Random) -> dict:
    """A quantity with a value in a unit of its own."""
    name = given["quantity"]
    if name not in RULEBOOK.quantities:
        name = source.choice(list(RULEBOOK.quantities))
    dimension = RULEBOOK.quantities[name].dimension
    return given | {"quantity": name, "value": written(source.uniform(0.1, 100), dimension, source)}


def compared(given: list, source: random.Random) -> list:
    """Builds side by side: the first one whole, each other one a build or a change."""
    made = []
    for position, one in enumerate(given):
        word = "change" if position and "change" in one else "build"
        fields = build(one.get(word, {}), source)
        fields.pop("parts", None) if word == "change" else None
        made.append({key: one[key] for key in one if key == "name"} | {word: fields})
    return made


def field(path: str, given, source: random.Random):
    """The value of one input; None where there is no such input."""
    one = RULEBOOK.inputs.get(path)
    if one is None:
        return None
    if one.kind == "number":
        return number(one.form, source, path, not isinstance(given, str))
    if one.kind == "count":
        # 8.0 is an integer to the contract, and no whole number to the reader.
        return int(given)
    if one.kind == "curve":
        across, along = one.axes
        return curve(across, along, source)
    if one.kind == "map":
        return {part: [point(axes, source) for _ in range(3)] for part, axes in one.lists.items()}
    return given


def number(form: NumberForm, source: random.Random, path: str = "", as_object: bool = False):
    """A number that is possible, in a unit that may be offered for it."""
    dimension = source.choice(form.dimensions)
    usual = RULEBOOK.inputs[path].usual if path else {}
    low, high = usual.get(dimension) or form.possible[dimension]
    return written(source.uniform(low, high), dimension, source, as_object)


def written(value: float, dimension: str, source: random.Random, as_object: bool = False):
    """A number in SI as a client may write it."""
    offered = [text for text in DIMENSIONS[dimension].offered if text]
    if DIMENSIONS[dimension].plain or not offered:
        return value
    unit = DIMENSIONS[dimension].units[source.choice(offered)]
    shown = float(f"{(value - unit.offset) / unit.factor:.6g}")
    return {"value": shown, "unit": unit.text} if as_object else f"{shown} {unit.text}"


def curve(across, along, source: random.Random) -> list:
    """A flow that falls as the pressure rises."""
    share = source.uniform(0.5, 2)
    points = [(200e3 + 100e3 * step, share * (8e-5 - 1e-5 * step)) for step in range(4)]
    assert all(a[0] < b[0] and a[1] > b[1] for a, b in pairwise(points))
    words = (across.word, across.dimension), (along.word, along.dimension)
    return [
        {word: written(value, dimension, source) for (word, dimension), value in zip(words, one, strict=True)}
        for one in points
    ]


def point(axes, source: random.Random) -> dict:
    """A point of a compressor map."""
    between = {"flow": (0.05, 0.5), "pressure_ratio": (1.2, 3.0), "efficiency": (0.5, 0.8)}
    return {axis.word: written(source.uniform(*between[axis.word]), axis.dimension, source) for axis in axes}


def parts(given, source: random.Random) -> dict:
    """A part of the catalog for each slot that is named and has any."""
    return {slot: source.choice(PARTS.slots[slot]).number for slot in given if slot in PARTS.slots}


def columns(given: dict, source: random.Random) -> dict:
    """Columns of one length; numbers in one unit each."""
    length, made = source.randint(2, MOST_CANDIDATES), {}
    for path in given:
        one = RULEBOOK.inputs[path]
        if one.kind == "count":
            low, high = one.possible_count
            made[path] = [source.randint(low, high) for _ in range(length)]
            continue
        dimension = one.form.dimensions[0]
        low, high = one.usual.get(dimension) or one.form.possible[dimension]
        made[path] = [written(source.uniform(low, high), dimension, source) for _ in range(length)]
    return made


def figure(word: str, source: random.Random):
    """A figure of a pull."""
    return number(FORMS[word], source)


def pulls(body: dict, source: random.Random) -> None:
    """Pulls with their weather; those that a build is held against with their place."""
    if "build" in body:
        body["pulls"] = [f"{source.uniform(200, 400):.4g} whp" for _ in body["pulls"]]
        return
    body["weather"] = {word: figure(word, source) for word in ("air_pressure", "air_temperature", "humidity")}
    body["pulls"] = [
        {word: figure(word, source) for word in {**pull, source.choice(["power", "torque"]): None}}
        for pull in body["pulls"]
    ]


def sides(body: dict, source: random.Random) -> None:
    """Both sides in the form that the first one has; a claim of the quantity that is compared."""
    word = body["quantity"]
    most = max(len(body["a"]), 2)

    def side():
        if isinstance(body["a"], dict):
            return {"mean": figure(word, source), "count": source.randint(1, 9)}
        if body["a"] and isinstance(body["a"][0], list):
            return [
                [{"speed": f"{speed} rpm", "value": figure(word, source)} for speed in (3000, 4000, 5000)]
                for _ in range(most)
            ]
        return [figure(word, source) for _ in range(most)]

    body["a"], body["b"] = side(), side()
    if "claimed" in body:
        body["claimed"] = written(source.uniform(1, 50) * 100, FORMS[word].dimensions[0], source)
