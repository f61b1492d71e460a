"""What it will make: the build over its speed range, as pictures and as figures."""

from flask import Response

from service.errors import SpecError
from service.json_object import JsonObject
from service.web.pages.asked import asked
from service.web.pages.fields import Form
from service.web.pages.pictures.curves import curve_over_speed, rounded
from service.web.pages.render import page

CURVES = "/v1/speed-curves"
# Without one nobody knows how far a curve goes.
SPEEDS, REDLINE = "/speeds", "engine.redline"


def show_power() -> Response:
    """A picture a quantity; those that people ask for, which have a range, come first."""
    about = asked()
    try:
        answer = about.answer(CURVES)
    except SpecError as error:
        if any(fault.pointer != SPEEDS for fault in error.faults):
            raise
        return page("no_power.html", about, here="/power", field=Form(about).field(REDLINE))
    speed = next((column for column in answer["columns"] if column["quantity"] == "speed"), None)
    others = [column for column in answer["columns"] if column["quantity"] != "speed"]
    others.sort(key=lambda column: "low" not in column)
    drawn = [(column, curve_over_speed(speed, column)) for column in others] if speed else []
    shown = [(column, picture) for column, picture in drawn if picture]
    rows = _rows([speed, *(column for column, _ in shown)]) if speed else []
    return page("power.html", about, here="/power", answer=answer, pictures=shown, speed=speed, rows=rows)


def _rows(columns: list[JsonObject]) -> list[list[str]]:
    """The columns as the rows of a table."""
    values = zip(*(column["values"] for column in columns), strict=True)
    return [["" if value is None else rounded(value) for value in row] for row in values]
