"""A build on its way from a form to the API and back: every name with its dot."""

from collections.abc import Mapping
from typing import Any

from service.json_object import JsonObject
from service.rulebook.input import Input
from service.rulebook.rulebook import Rulebook
from service.web.pages.point_lines import lines_of, points_of

# The group of a build that names parts of the catalog.
PARTS = "parts"


def flat(rulebook: Rulebook, build: JsonObject) -> JsonObject:
    """`{"engine": {"bore": "4 in"}}` as `{"engine.bore": "4 in"}`."""
    groups = {field.group for field in rulebook.inputs.values()} | {PARTS}
    names: JsonObject = {}
    for key, value in build.items():
        if key in groups and isinstance(value, dict):
            names |= {f"{key}.{name}": inner for name, inner in value.items()}
        else:
            names[key] = value
    return names


def for_request(names: JsonObject) -> JsonObject:
    """As a request has it: part numbers in their group; the API puts the other names into groups itself."""
    parts = {key.removeprefix(f"{PARTS}."): value for key, value in names.items() if _is_part(key)}
    rest = {key: value for key, value in names.items() if not _is_part(key)}
    return rest | {PARTS: parts} if parts else rest


def with_typed(rulebook: Rulebook, names: JsonObject, typed: Mapping[str, str]) -> JsonObject:
    """The build with what was typed into a form; a field that was left empty goes."""
    changed = dict(names)
    for path, text in typed.items():
        if path not in rulebook.inputs and not _is_part(path):
            continue
        changed.pop(path, None)
        if text.strip():
            changed[path] = _value(rulebook.inputs.get(path), text.strip())
    return changed


def text_of(field: Input | None, value: Any) -> str:
    """What a form shows of a value."""
    if field and field.kind in ("curve", "map") and isinstance(value, list | dict):
        return lines_of(field, value)
    if isinstance(value, dict):
        spread = f"±{value['tolerance']}" if "tolerance" in value else ""
        return " ".join(filter(None, [str(value.get("value", "")), str(value.get("unit", "")), spread]))
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _value(field: Input | None, text: str) -> Any:
    """A count is a number in a request, and a curve a list; everything else is read as it was written."""
    if field and field.kind == "count" and text.isascii() and text.isdigit() and len(text) < 10:
        return int(text)
    return points_of(field, text) if field and field.kind in ("curve", "map") else text


def _is_part(name: str) -> bool:
    return name.startswith(f"{PARTS}.")
