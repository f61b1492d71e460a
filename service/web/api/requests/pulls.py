"""Pulls with their weather, and the pulls a build is held against, read into SI."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from service.dyno.corrected import Pull
from service.dyno.pulls import Pulls
from service.web.api.requests.figures import FORMS, FigureReader

WEATHER = ("air_pressure", "air_temperature", "humidity")
_OUTPUTS = ("power", "torque")


class MeasuredPulls(NamedTuple):
    """The power of pulls, and the place where it was taken."""

    pulls: Pulls
    place: str


def read_pulls(fields: dict[str, Any]) -> list[Pull]:
    """Pulls with their weather; weather given once counts for every pull that has none of its own."""
    reader = FigureReader()
    rows = reader.pulls(fields["pulls"], "/pulls", '[{"power": "300 hp"}, ...]')
    weather = _common_weather(reader, fields.get("weather", {}))
    pulls = [_pull(reader, row, weather, f"/pulls/{position}") for position, row in enumerate(rows)]
    reader.place()
    return [pull for pull in pulls if pull]


def read_measured(value: object) -> MeasuredPulls:
    """The power of single pulls, each with its place."""
    reader = FigureReader()
    rows = reader.pulls(value, "/pulls", '["285 hp", "286 hp", ...]')
    figures = reader.numbers(rows, FORMS["power"], "/pulls")
    if not reader.faults and len(reader.places) < len(figures):
        reader.fault(
            "/pulls",
            "place-missing",
            "Crank or wheels is not said with every figure.",
            '"430 whp" or "500 bhp"',
        )
    place = reader.place()
    assert place is not None  # every figure has named one
    return MeasuredPulls(Pulls(tuple(figures)), place)


def _common_weather(reader: FigureReader, value: object) -> dict[str, Any]:
    if isinstance(value, dict):
        return value
    reader.fault(
        "/weather",
        "wrong-type",
        "The weather is no object.",
        '{"air_pressure": "990 hPa", "air_temperature": "25 degC", "humidity": "40 %"}',
    )
    return {}


def _pull(reader: FigureReader, row: object, common: Mapping[str, Any], pointer: str) -> Pull | None:
    if not isinstance(row, dict) or not set(row) <= {*_OUTPUTS, *WEATHER} or not set(_OUTPUTS) & set(row):
        reader.fault(
            pointer,
            "wrong-type",
            "This is no pull.",
            "an object with power or torque, and its weather where that is not given once for all",
        )
        return None
    figures = {
        word: reader.number(row[word], FORMS[word], f"{pointer}/{word}") for word in _OUTPUTS if word in row
    }
    for word in WEATHER:
        if word in row:
            figures[word] = reader.number(row[word], FORMS[word], f"{pointer}/{word}")
        elif word in common:
            figures[word] = reader.number(common[word], FORMS[word], f"/weather/{word}")
        else:
            detail = f"{FORMS[word].label} of this pull is not given."
            reader.fault(pointer, "missing", detail, f"{word} in the pull or in weather")
    if reader.faults:
        return None
    return Pull(
        figures.get("power"),
        figures.get("torque"),
        figures["air_pressure"],
        figures["air_temperature"],
        figures["humidity"],
    )
