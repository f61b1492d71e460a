"""A compressor map with the points at which a build runs on it."""

from collections.abc import Sequence
from typing import NamedTuple

from markupsafe import Markup

from service.web.pages.pictures.frame import Axis, Frame
from service.web.pages.pictures.marks import SOFT, curve, diamond, picture, words
from service.web.pages.pictures.scale import spanned

Point = tuple[float, float]


class RunningPoint(NamedTuple):
    """Where a build runs: when, at which flow and pressure ratio."""

    when: str
    flow: float
    pressure_ratio: float


class Map(NamedTuple):
    """A map in the units shown: lines of surge and choke, and efficiencies with their places."""

    surge: Sequence[Point]
    choke: Sequence[Point]
    efficiencies: Sequence[tuple[float, float, float]]
    unit: str


def map_with_points(compressor: Map, running: Sequence[RunningPoint]) -> Markup:
    """Surge as a thick line, choke as dashes, efficiencies in percent, the build's points as diamonds."""
    places = [*compressor.surge, *compressor.choke, *((x, y) for x, y, _ in compressor.efficiencies)]
    places += [(point.flow, point.pressure_ratio) for point in running]
    frame = Frame(
        Axis(*spanned((x for x, _ in places), 0.08), f"Corrected air flow, {compressor.unit}"),
        Axis(*spanned((y for _, y in places), 0.12), "Pressure ratio"),
        height=280.0,
    )
    marks = frame.marks()
    marks.append(curve(frame.places(sorted(compressor.surge, key=lambda at: at[1])), stroke_width=3.5))
    if compressor.choke:
        line = frame.places(sorted(compressor.choke, key=lambda at: at[1]))
        marks.append(curve(line, stroke_dasharray="7 4"))
    for flow, ratio, efficiency in compressor.efficiencies:
        x, y = frame.place((flow, ratio))
        marks.append(words((x, y + 4), f"{efficiency * 100:.0f} %", text_anchor="middle", fill=SOFT))
    for point in running:
        x, y = frame.place((point.flow, point.pressure_ratio))
        marks += [diamond((x, y)), words((x, y - 11), point.when, text_anchor="middle", font_weight="bold")]
    title = "Compressor map: surge as a thick line, choke dashed, the build at " + ", ".join(
        point.when for point in running
    )
    return picture(frame.width, frame.height, title, marks)
