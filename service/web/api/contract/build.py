"""The schema of the build spec, made from the inputs of the rulebook."""

from collections.abc import Iterable

from service.rulebook.input import Axis, Input
from service.rulebook.rulebook import Rulebook
from service.web.api.json_schema import Schema, closed, described, list_of, quantity, record, yes_or_no

_READINGS = {
    "gauge": "Gauge pressure.",
    "absolute": "Absolute pressure, counted from vacuum.",
    "difference": "A pressure difference.",
}


def build_schema(rulebook: Rulebook) -> Schema:
    """One object a group, one property an input, nothing else."""
    top: dict[str, Schema] = {}
    groups: dict[str, dict[str, Schema]] = {}
    for source in rulebook.inputs.values():
        fields = groups.setdefault(source.group, {}) if source.group else top
        fields[source.name] = _field(rulebook, source)
    top |= {
        group: _without_required(
            described(closed(record({}, fields)), f"What is known of {group.replace('_', ' ')}.")
        )
        for group, fields in groups.items()
    }
    top["parts"] = {
        "type": "object",
        "description": "Slot to part number of the catalog; the part fills its fields, "
        "a field given explicitly wins.",
        "properties": {
            slot.name: {"type": "string", "description": slot.label} for slot in rulebook.slots.values()
        },
        "additionalProperties": False,
    }
    about = "What is known of the build; every field is optional."
    return _without_required(described(closed(record({}, top)), about))


def _without_required(schema: Schema) -> Schema:
    return {key: value for key, value in schema.items() if key != "required"}


def _field(rulebook: Rulebook, source: Input) -> Schema:
    return {"description": f"{source.label}. {source.ask}"} | _shape(rulebook, source)


def _shape(rulebook: Rulebook, source: Input) -> Schema:
    match source.kind:
        case "number":
            return _number(source)
        case "count":
            low, high = source.possible_count
            return {"type": "integer", "minimum": low, "maximum": high}
        case "flag":
            return yes_or_no()
        case "choice":
            return yes_or_no([*rulebook.words_of(source), *source.synonyms])
        case "curve":
            return _points(source, source.axes)
    lists = {part: _points(source, axes) for part, axes in source.lists.items()}
    required = {part: points for part, points in lists.items() if part in source.required}
    optional = {part: points for part, points in lists.items() if part not in source.required}
    return closed(record(required, optional))


def _number(source: Input) -> Schema:
    schema = quantity(tuple(source.words), tolerance=True)
    # A reading of a temperature needs no word beside it.
    return schema | {"x-reading": source.reading} if source.reading in _READINGS else schema


def _points(source: Input, axes: Iterable[Axis]) -> Schema:
    point = closed(record({axis.word: quantity((axis.dimension,)) for axis in axes}))
    return list_of(point, *source.points)
