"""A quantity over engine speed, with the band that the assumptions leave."""

from markupsafe import Markup

from service.json_object import JsonObject
from service.units.signs import sign
from service.web.pages.pictures.frame import Axis, Frame
from service.web.pages.pictures.marks import band, curve, dot, picture, words
from service.web.pages.pictures.scale import plain, runs, spanned


def curve_over_speed(speed: JsonObject, column: JsonObject) -> Markup | None:
    """A column of the speed curves as a picture; None where nothing of it could be worked out."""
    values = [value for value in column["values"] if value is not None]
    if not values:
        return None
    ends = [figure for end in ("low", "high") for figure in column.get(end, ()) if figure is not None]
    low, high = spanned([*values, *ends])
    if min(values, default=0) >= 0 and low < max(values) / 3:
        low = min(low, 0.0) if min(values) < 0 else 0.0
    frame = Frame(
        Axis(min(speed["values"]), max(speed["values"]), f"{speed['label']}, {speed['unit']}"),
        Axis(low, high, f"{column['label']}{', ' if column['unit'] else ''}{sign(column['unit']).strip()}"),
    )
    return picture(frame.width, frame.height, _title(speed, column), _marks(frame, speed, column))


def _marks(frame: Frame, speed: JsonObject, column: JsonObject) -> list[Markup]:
    marks = frame.marks()
    if "low" in column:
        known = [
            entry
            for entry in zip(speed["values"], column["low"], column["high"], strict=True)
            if None not in entry
        ]
        over = frame.places([(at, high) for at, _, high in known])
        under = frame.places([(at, low) for at, low, _ in known])
        marks.append(band(over, under))
    for stretch in runs(list(zip(speed["values"], column["values"], strict=True))):
        marks.append(curve(frame.places(stretch), stroke_width=2.5))
    return marks + _peak(frame, speed, column)


def _peak(frame: Frame, speed: JsonObject, column: JsonObject) -> list[Markup]:
    """The highest point, named; a curve without one is level, and its axis says enough."""
    points = [
        (value, at) for at, value in zip(speed["values"], column["values"], strict=True) if value is not None
    ]
    value, at = max(points)
    if value == min(points)[0]:
        return []
    x, y = frame.place((at, value))
    anchor = "end" if x > frame.width * 0.7 else "start" if x < frame.width * 0.3 else "middle"
    return [dot((x, y)), words((x, y - 8), rounded(value), text_anchor=anchor, font_weight="bold")]


def _title(speed: JsonObject, column: JsonObject) -> str:
    points = [
        (value, at) for at, value in zip(speed["values"], column["values"], strict=True) if value is not None
    ]
    value, at = max(points)
    unit = sign(column["unit"])
    most = f"at most {rounded(value)}{unit} at {rounded(at)} {speed['unit']}"
    return f"{column['label']} over {speed['label'].lower()}: {most}"


def rounded(figure: float) -> str:
    """Three figures, which is what a picture shows."""
    return plain(round(figure)) if abs(figure) >= 100 else plain(float(f"{figure:.3g}"))
