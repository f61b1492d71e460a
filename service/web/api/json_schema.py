"""The words JSON Schemas of the contract are made of."""

from collections.abc import Iterable, Mapping
from typing import Any

from service.units.fault import LONGEST_TEXT
from service.units.units import DIMENSIONS

Schema = dict[str, Any]

TEXT: Schema = {"type": "string"}
NUMBER: Schema = {"type": "number"}
INTEGER: Schema = {"type": "integer"}
YES_NO: Schema = {"type": "boolean"}
NUMBER_OR_NULL: Schema = {"type": ["number", "null"]}


def ref(name: str) -> Schema:
    """A schema of the contract by its name."""
    return {"$ref": f"#/components/schemas/{name}"}


def one_of(words: Iterable[str]) -> Schema:
    """A word out of a set."""
    return {"type": "string", "enum": list(words)}


def list_of(items: Schema, least: int | None = None, most: int | None = None) -> Schema:
    """A list of one kind of thing."""
    schema: Schema = {"type": "array"}
    if least is not None:
        schema["minItems"] = least
    if most is not None:
        schema["maxItems"] = most
    return schema | {"items": items}


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


def quantity(dimensions: list[str], tolerance: bool = False) -> Schema:
    """A number with its unit, as text or as an object; a bare number where the dimension needs no unit."""
    units = [unit for dimension in dimensions for unit in DIMENSIONS[dimension].offered if unit]
    if all(DIMENSIONS[dimension].plain for dimension in dimensions):
        return {"type": ["number", "string"], "maxLength": LONGEST_TEXT}
    words: dict[str, Schema] = {"value": NUMBER, "unit": one_of(units)}
    may = {"tolerance": _TOLERANCE} if tolerance else {}
    return {"oneOf": [{"type": "string", "maxLength": LONGEST_TEXT}, record(words, may)], "x-units": units}


_TOLERANCE: Schema = {
    "type": "number",
    "minimum": 0,
    "description": "How far the value may be off, in the same unit.",
}
