"""A compressor map with the points at which a build runs on it."""

from collections.abc import Sequence
from typing import NamedTuple

from markupsafe import Markup

from service.web.pages.pictures.frame import LEFT, Axis, Frame
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
    """Surge a thick line, choke dashed, efficiencies in percent, the points of a build as diamonds."""
    frame = _frame(compressor, running)
    marks = [*frame.marks(), *_edges(frame, compressor)]
    for flow, ratio, efficiency in compressor.efficiencies:
        x, y = frame.place((flow, ratio))
        marks.append(words((x, y + 4), f"{efficiency * 100:.0f} %", text_anchor="middle", fill=SOFT))
    for number, point in enumerate(running, start=1):
        x, y = frame.place((point.flow, point.pressure_ratio))
        below = (LEFT, frame.height + 16.0 * number)
        marks += [
            diamond((x, y)),
            words((x + 10, y - 6), str(number), font_weight="bold"),
            words(below, f"{number}: {point.when}"),
        ]
    when = ", ".join(point.when for point in running)
    title = f"Compressor map: surge as a thick line, choke dashed, the build {when}"
    return picture(frame.width, frame.height + 16.0 * len(running) + 8, title, marks)


def _frame(compressor: Map, running: Sequence[RunningPoint]) -> Frame:
    places = [*compressor.surge, *compressor.choke, *((x, y) for x, y, _ in compressor.efficiencies)]
    places += [(point.flow, point.pressure_ratio) for point in running]
    return Frame(
        Axis(*spanned((x for x, _ in places), 0.08), f"Corrected air flow, {compressor.unit}"),
        Axis(*spanned((y for _, y in places), 0.12), "Pressure ratio"),
        height=280.0,
    )


def _edges(frame: Frame, compressor: Map) -> list[Markup]:
    """The lines of surge and of choke, each with its name at its upper end."""
    marks: list[Markup] = []
    edges = (
        ("surge", compressor.surge, {"stroke_width": 3.5}),
        ("choke", compressor.choke, {"stroke_dasharray": "7 4"}),
    )
    for name, points, style in edges:
        places = frame.places(sorted(points, key=lambda at: at[1]))
        if places:
            x, y = places[-1]
            marks += [curve(places, **style), words((x, y - 6), name, text_anchor="middle")]
    return marks
