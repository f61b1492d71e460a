"""Dotted names at the top of a build, as questions and limits write them, put into their groups."""

from collections.abc import Collection

from service.json_object import JsonObject


def nested(build: JsonObject, groups: Collection[str]) -> JsonObject:
    """`{"engine.displacement": "5.0 L"}` as `{"engine": {"displacement": "5.0 L"}}`.

    A name given in both ways stays where it is: whoever reads the build says so.
    """
    if not any("." in key for key in build):
        return build
    grouped = {key: dict(value) if isinstance(value, dict) else value for key, value in build.items()}
    for key in build:
        group, _, name = key.partition(".")
        fields = grouped.setdefault(group, {}) if group in groups and name else None
        if isinstance(fields, dict) and name not in fields:
            fields[name] = grouped.pop(key)
    return grouped
