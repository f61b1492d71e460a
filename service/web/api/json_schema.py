"""The words JSON Schemas of the contract are made of."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from service.units.fault import LONGEST_TEXT
from service.units.units import DIMENSIONS

Schema = dict[str, Any]

TEXT: Schema = {"type": "string"}
NUMBER: Schema = {"type": "number"}
INTEGER: Schema = {"type": "integer"}
YES_NO: Schema = {"type": "boolean"}
TEXT_OR_NULL: Schema = {"type": ["string", "null"]}
NUMBER_OR_NULL: Schema = {"type": ["number", "null"]}


def ref(name: str) -> Schema:
    """A schema of the contract by its name."""
    return {"$ref": f"#/components/schemas/{name}"}


def one_of(words: Iterable[str]) -> Schema:
    """A word out of a set."""
    return {"type": "string", "enum": list(words)}


def open_word(words: Sequence[str]) -> Schema:
    """A word out of a set that may grow, so that a client has to take others too."""
    return TEXT | {"examples": list(words[:3])}


def list_of(items: Schema, least: int | None = None, most: int | None = None) -> Schema:
    """A list of one kind of thing."""
    schema: Schema = {"type": "array"}
    if least is not None:
        schema["minItems"] = least
    if most is not None:
        schema["maxItems"] = most
    return schema | {"items": items}


def map_of(values: Schema) -> Schema:
    """An object whose keys are data."""
    return {"type": "object", "additionalProperties": values}


TEXTS = list_of(TEXT)


def record(properties: Mapping[str, Schema], optional: Mapping[str, Schema] | None = None) -> Schema:
    """An object of an answer: what it always has, and what it may have; later versions may add to it."""
    return {
        "type": "object",
        "required": list(properties),
        "properties": {**properties, **(optional or {})},
    }


def closed(schema: Schema) -> Schema:
    """An object of a request: nothing but what it names."""
    return schema | {"additionalProperties": False}


def described(schema: Schema, about: str | None) -> Schema:
    """A schema with a sentence on it."""
    return schema | {"description": about} if about else schema


def quantity(dimensions: Sequence[str], tolerance: bool = False) -> Schema:
    """A number with its unit, as text or as an object; a bare number where the dimension needs no unit."""
    units = [unit for dimension in dimensions for unit in DIMENSIONS[dimension].offered if unit]
    # With a tail, because `time` alone means a time of day to every reader of schemas.
    kind = f"{'-or-'.join(dimensions)}-figure"
    text: Schema = {"type": "string", "maxLength": LONGEST_TEXT, "format": kind}
    title = "Or".join(dimension.title().replace("_", "") for dimension in dimensions)
    if all(DIMENSIONS[dimension].plain for dimension in dimensions):
        return {"title": f"{title}Figure", "oneOf": [NUMBER, text], "x-units": units}
    words: dict[str, Schema] = {"value": NUMBER, "unit": one_of(units)}
    measured = closed(record(words, {"tolerance": _TOLERANCE} if tolerance else {}))
    title += "WithTolerance" if tolerance else "Figure"
    return {"title": title, "oneOf": [text, measured], "x-units": units}


def yes_or_no(words: Sequence[str] = ("yes", "no")) -> Schema:
    """Words among which `yes` or `no` may also be said as a JSON boolean."""
    said: list[bool] = [flag for flag, word in ((True, "yes"), (False, "no")) if word in words]
    if not said:
        return one_of(words)
    flag: Schema = YES_NO if len(said) == 2 else {"const": said[0]}
    # Two schemas and no mixed enum, for which client generators have no type.
    return {"oneOf": [one_of(words), flag]}


def hoisted(schemas: Mapping[str, Schema]) -> dict[str, Schema]:
    """What has a title stands once, under its title, and is referred to; a contract half as long."""
    titled: dict[str, Schema] = {}

    def lifted(node: Any) -> Any:
        if isinstance(node, list):
            return [lifted(entry) for entry in node]
        if not isinstance(node, dict):
            return node
        schema = {word: lifted(entry) for word, entry in node.items()}
        title = schema.pop("title", None) if isinstance(node.get("title"), str) else None
        if title is None:
            return schema
        beside = {word: schema.pop(word) for word in ("description", "x-reading") if word in schema}
        assert title not in schemas and titled.setdefault(title, schema) == schema, title
        return ref(title) | beside

    return {name: lifted(schema) for name, schema in schemas.items()} | dict(sorted(titled.items()))


_TOLERANCE: Schema = {
    "type": "number",
    "minimum": 0,
    "description": "How far the value may be off, in the same unit.",
}
