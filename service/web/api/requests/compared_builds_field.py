"""The field `builds` of a comparison: whole builds, or changes to the first."""

from typing import Any, NamedTuple

from marshmallow import ValidationError

from service.advice.build_comparison import LEAST_BUILDS, MOST_BUILDS
from service.units.choice_reading import nearest
from service.units.fault import LONGEST_TEXT, Fault
from service.web.api.json_schema import TEXT, Schema, closed, described, list_of, record, ref
from service.web.api.requests.request_field import RequestField

_KEYS = ("name", "build", "change")
_EXPECTED = '{"name": "as it is", "build": {...}}, or {"name": "with a screw", "change": {...}}'


class NamedBuild(NamedTuple):
    """A build with the client's name for it."""

    name: str
    build: dict[str, Any]


class ComparedBuilds(RequestField):
    """Two to four builds, the first one whole."""

    expected = f"a list of {LEAST_BUILDS} to {MOST_BUILDS}, each {_EXPECTED}"
    example = '{"builds": [{"name": "as it is", "build": {...}}, {"name": "with a screw", "change": {...}}]}'

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> list[NamedBuild]:
        if not isinstance(value, list) or not LEAST_BUILDS <= len(value) <= MOST_BUILDS:
            raise self.wrong_type()
        faults = {
            position: fault for position, entry in enumerate(value) if (fault := _fault(entry, position))
        }
        if faults:
            raise ValidationError(faults)
        first = value[0]["build"]
        return [
            NamedBuild(
                entry.get("name", f"build {position + 1}"),
                entry["build"] if "build" in entry else _laid_over(first, entry["change"]),
            )
            for position, entry in enumerate(value)
        ]

    def shape(self) -> Schema:
        change = described(
            {"type": "object"}, "Fields that differ from the first build, as a build has them."
        )
        entry = closed(
            record({}, {"name": TEXT | {"maxLength": LONGEST_TEXT}, "build": ref("Build"), "change": change})
        )
        return list_of({key: entry[key] for key in entry if key != "required"}, LEAST_BUILDS, MOST_BUILDS)


def _fault(entry: object, position: int) -> Fault | None:
    if not isinstance(entry, dict):
        return Fault("wrong-type", "This is not a build with a name.", _EXPECTED)
    for key in entry:
        if key not in _KEYS:
            return Fault(
                "unknown-key",
                "There is no such word of a compared build.",
                ", ".join(_KEYS),
                nearest(key[:64], _KEYS),
            )
    if not isinstance(entry.get("name", ""), str) or len(entry.get("name", "")) > LONGEST_TEXT:
        return Fault("wrong-type", f"`name` is a text of at most {LONGEST_TEXT} characters.", _EXPECTED)
    given = [key for key in ("build", "change") if isinstance(entry.get(key), dict)]
    if len(given) != 1 or ("build" in entry and "change" in entry):
        return Fault("wrong-shape", "Give either `build` or `change`, as an object.", _EXPECTED)
    if position == 0 and given == ["change"]:
        return Fault("wrong-shape", "The first build is whole: there is nothing yet to change.", _EXPECTED)
    return None


def _laid_over(build: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    """A build with some fields changed; a field that becomes null goes."""
    changed = dict(build)
    for group, fields in change.items():
        if isinstance(fields, dict) and isinstance(changed.get(group, {}), dict):
            merged = {**changed.get(group, {}), **fields}
            changed[group] = {name: value for name, value in merged.items() if value is not None}
        elif fields is None:
            changed.pop(group, None)
        else:
            changed[group] = fields
    return changed
