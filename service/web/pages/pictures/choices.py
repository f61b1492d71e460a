"""The parts of a slot: what they cost against what they leave in hand."""

from collections.abc import Sequence

from markupsafe import Markup

from service.json_object import JsonObject
from service.web.pages.pictures.frame import Axis, Frame
from service.web.pages.pictures.marks import INK, cross, diamond, dot, line, picture, words
from service.web.pages.pictures.scale import spanned

# In percent; what is further off lies at the edge, or nobody could tell the others apart.
FURTHEST = 100.0


def price_against_margin(parts: Sequence[JsonObject], currency: str) -> Markup | None:
    """A mark a part: a dot passes, an open diamond warns, a cross fails; the table beside has the numbers."""
    shown = [part for part in parts if part.get("least_margin")]
    if len(shown) < 2:
        return None
    margins = [max(-FURTHEST, min(FURTHEST, part["least_margin"]["margin"] * 100)) for part in shown]
    frame = Frame(
        Axis(*spanned((part["price"] for part in shown), 0.1), f"Price, {currency}"),
        Axis(*spanned(margins, 0.15, 0.0), "Least margin, %"),
        height=190.0,
    )
    zero = frame.y.at(0.0)
    marks = [*frame.marks(), line((frame.x.start, zero), (frame.x.end, zero), stroke_width=1.5)]
    for place, (part, margin) in enumerate(zip(shown, margins, strict=True), start=1):
        at = frame.place((part["price"], margin))
        marks += [_mark(part["verdict"], at), words((at[0] + 8, at[1] - 5), str(place))]
    return picture(frame.width, frame.height, "Price of each part against its least margin", marks)


def _mark(verdict: str, at: tuple[float, float]) -> Markup:
    if verdict == "fail":
        return cross(at)
    return dot(at) if verdict == "pass" else diamond(at, 6, fill="#ffffff", stroke=INK, stroke_width=1.5)
