"""The dyno: is the gain real, and does the build do what was planned?"""

from typing import Any

from flask import Response

from service.errors import SpecError
from service.evaluation.reporting.display import Display
from service.json_object import JsonObject
from service.web.api.requests.dyno_sides import CurveSides, PullSides, read_sides
from service.web.pages.asked import Asked, asked
from service.web.pages.pictures.two_sets import Pulls, both_curves, difference, single_figures
from service.web.pages.pull_lines import pulls_of
from service.web.pages.render import page
from service.web.pages.sent import sent_form

# The fields of the form, by those of the request; `b` of an address is the build.
FIELDS = {"a": "pulls_a", "b": "pulls_b"}
COMPARISONS, CALIBRATIONS = "/v1/dyno-comparisons", "/v1/calibrations"


def show_dyno() -> Response:
    """Both forms, empty."""
    return _page(asked(), {})


def take_pulls() -> Response:
    """Pulls with A against pulls with B, or the plan against its pulls."""
    typed = sent_form().to_dict()
    about = asked()
    return _planned(about, typed) if "pulls" in typed else _compared(about, typed)


def _compared(about: Asked, typed: dict[str, str]) -> Response:
    body: JsonObject = {
        "quantity": typed.get("quantity", "power"),
        "a": pulls_of(typed.get("pulls_a", "")),
        "b": pulls_of(typed.get("pulls_b", "")),
        "in_order": "in_order" in typed,
    }
    if typed.get("claimed", "").strip():
        body["claimed"] = typed["claimed"].strip()
    try:
        answer = about.post(COMPARISONS, body)
    except SpecError as error:
        return _page(about, typed, error, 422)
    return _page(about, typed, compared=answer, pictures=_pictures(about, body, answer))


def _planned(about: Asked, typed: dict[str, str]) -> Response:
    try:
        answer = about.answer(CALIBRATIONS, pulls=pulls_of(typed["pulls"]))
    except SpecError as error:
        if any(fault.pointer.startswith("/build") for fault in error.faults):
            raise
        return _page(about, typed, error, 422)
    return _page(about, typed, planned=answer)


def _pictures(about: Asked, body: JsonObject, answer: JsonObject) -> list[Any]:
    """The pulls of both sides, and of curves their difference as well."""
    sides = read_sides(about.state.requests.load("ComparisonRequest", body).fields)
    display = Display(about.state.rulebook)
    figure = display.shower(body["quantity"], about.units)
    if isinstance(sides, PullSides):
        first, second = (
            [figure.number(value) for value in side.values] for side in (sides.first, sides.second)
        )
        return [single_figures(first, second, figure.unit)]
    if not isinstance(sides, CurveSides):
        return []
    speed = display.shower("rotational_speed", about.units)
    shown = [
        [[(speed.number(at), figure.number(value)) for at, value in zip(*pull, strict=True)] for pull in side]
        for side in (sides.first, sides.second)
    ]
    along = f"Engine speed, {speed.unit}"
    pulls = Pulls(shown[0], shown[1], along, f"{body['quantity'].capitalize()}, {figure.unit}")
    return [both_curves(pulls), difference(answer["columns"], along, figure.unit)]


def _page(
    about: Asked, typed: dict[str, str], error: SpecError | None = None, status: int = 200, **found: Any
) -> Response:
    faults: dict[str, list[Any]] = {}
    for fault in error.faults if error else ():
        field = fault.pointer.split("/")[1]
        faults.setdefault(FIELDS.get(field, field), []).append(fault)
    words = {"compared": None, "planned": None, "pictures": []} | found
    return page("dyno.html", about, status, here="/dyno", typed=typed, faults=faults, **words)
