"""The two sides of a dyno comparison, read into SI: single pulls, curves, or summaries."""

from math import isnan
from typing import Any, NamedTuple

from service.dyno.pulls import Pulls
from service.dyno.two_curves import Curve
from service.units.number_form import NumberForm
from service.web.api.requests.figures import FORMS, MOST_POINTS, MOST_PULLS, FigureReader

# A difference may be small, and of either sign.
CLAIMED = {"power": (-1e6, 1e6), "torque": (-5e3, 5e3)}


class Summary(NamedTuple):
    """What is left of pulls that nobody kept."""

    mean: float
    pulls: int


class PullSides(NamedTuple):
    """Single figures."""

    first: Pulls
    second: Pulls
    claimed: float | None


class CurveSides(NamedTuple):
    """Curves over speed."""

    first: list[Curve]
    second: list[Curve]


class SummarySides(NamedTuple):
    """Means and counts."""

    first: Summary
    second: Summary


Sides = PullSides | CurveSides | SummarySides


def read_sides(fields: dict[str, Any]) -> Sides:
    """Both sides in the form they have in common, and the difference that is claimed."""
    reader, form = FigureReader(), FORMS[fields["quantity"]]
    sides = {f"/{key}": fields[key] for key in ("a", "b")}
    kinds = {pointer: _kind(side) for pointer, side in sides.items()}
    if None in kinds.values() or len(set(kinds.values())) > 1:
        _refuse_kinds(reader, list(sides))
    kind = kinds["/a"]
    if kind == "summaries":
        first, second = (_summary(reader, side, at, form) for at, side in sides.items())
        _claimed(reader, fields)
        reader.place()
        return SummarySides(first, second)
    if kind == "curves":
        curves = [_curves(reader, side, at, form) for at, side in sides.items()]
        _claimed(reader, fields)
        reader.place()
        return CurveSides(*curves)
    figures = [
        reader.numbers(reader.pulls(side, at, '["285 hp", "286 hp", ...]'), form, at)
        for at, side in sides.items()
    ]
    claimed = _claimed(reader, fields)
    reader.place()
    return PullSides(Pulls(tuple(figures[0])), Pulls(tuple(figures[1])), claimed)


def _kind(side: object) -> str | None:
    if isinstance(side, dict):
        return "summaries"
    if isinstance(side, list) and side:
        return "curves" if all(isinstance(pull, list) for pull in side) else "pulls"
    return None


def _refuse_kinds(reader: FigureReader, pointers: list[str]) -> None:
    for pointer in pointers:
        reader.fault(
            pointer,
            "wrong-type",
            "Both sides have to be of one form.",
            '["285 hp", ...], or curves [[{"speed": "3000 rpm", "value": "200 hp"}, ...], ...], '
            'or {"mean": "285 hp", "count": 3}',
        )
    reader.place()


def _claimed(reader: FigureReader, fields: dict[str, Any]) -> float | None:
    if "claimed" not in fields:
        return None
    dimensions = FORMS[fields["quantity"]].dimensions
    possible = {dimensions[0]: CLAIMED[fields["quantity"]]}
    form = NumberForm(label="Claimed difference", dimensions=dimensions, possible=possible, has_place=True)
    return reader.number(fields["claimed"], form, "/claimed")


def _summary(reader: FigureReader, side: dict[str, Any], pointer: str, form: NumberForm) -> Summary:
    if (
        set(side) != {"mean", "count"}
        or type(side["count"]) is not int
        or not 1 <= side["count"] <= MOST_PULLS
    ):
        reader.fault(pointer, "wrong-type", "This is no summary of pulls.", '{"mean": "285 hp", "count": 3}')
        return Summary(0.0, 0)
    return Summary(reader.number(side["mean"], form, f"{pointer}/mean"), side["count"])


def _curves(reader: FigureReader, side: list[Any], pointer: str, form: NumberForm) -> list[Curve]:
    if len(side) < 2:
        reader.fault(
            pointer, "too-few", "Curves of one pull show no scatter.", "at least two pulls on each side"
        )
    rows = reader.pulls(side, pointer, "a list of pulls")
    read = [_curve(reader, row, f"{pointer}/{number}", form) for number, row in enumerate(rows)]
    curves = [curve for curve in read if curve]
    ranges = [speeds for speeds, _ in curves]
    if not reader.faults and max(map(min, ranges)) >= min(map(max, ranges)):
        reader.fault(
            pointer, "not-a-curve", "The pulls of this side have no speeds in common.", "curves that overlap"
        )
    return curves


def _curve(reader: FigureReader, pull: Any, pointer: str, form: NumberForm) -> Curve | None:
    if not 2 <= len(pull) <= MOST_POINTS or not all(
        isinstance(point, dict) and set(point) == {"speed", "value"} for point in pull
    ):
        reader.fault(
            pointer,
            "wrong-type",
            f"This is no curve of 2 to {MOST_POINTS} points.",
            '[{"speed": "3000 rpm", "value": "200 hp"}, ...]',
        )
        return None
    speeds = [
        reader.number(point["speed"], FORMS["speed"], f"{pointer}/{number}/speed")
        for number, point in enumerate(pull)
    ]
    values = [
        reader.number(point["value"], form, f"{pointer}/{number}/value") for number, point in enumerate(pull)
    ]
    if not any(map(isnan, speeds)) and len(set(speeds)) < len(speeds):
        reader.fault(
            pointer, "not-a-curve", "This curve has two points at one speed.", "one value for each speed"
        )
    return speeds, values
