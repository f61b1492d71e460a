"""Two sets of pulls: as curves with their difference and its band, or as single figures side by side."""

from collections.abc import Sequence
from typing import NamedTuple

from markupsafe import Markup

from service.json_object import JsonObject
from service.web.pages.pictures.frame import Axis, Frame
from service.web.pages.pictures.marks import INK, SOFT, band, curve, dot, line, picture, words
from service.web.pages.pictures.scale import Scale, plain, spanned, ticks

Point = tuple[float, float]
_DASHES = "7 4"


class Pulls(NamedTuple):
    """The pulls of both sides in the units shown, and the words of the axes."""

    first: Sequence[Sequence[Point]]
    second: Sequence[Sequence[Point]]
    speed: str
    figure: str


def both_curves(pulls: Pulls) -> Markup:
    """Every pull, those of A as lines and those of B as dashes."""
    points = [point for pull in (*pulls.first, *pulls.second) for point in pull]
    speeds = [speed for speed, _ in points]
    frame = Frame(
        Axis(min(speeds), max(speeds), pulls.speed), Axis(*spanned(y for _, y in points), pulls.figure)
    )
    marks = frame.marks()
    marks += [curve(frame.places(sorted(pull)), stroke=SOFT) for pull in pulls.first]
    marks += [curve(frame.places(sorted(pull)), stroke_dasharray=_DASHES) for pull in pulls.second]
    legend = [
        line((250.0, 10.0), (280.0, 10.0), stroke=SOFT, stroke_width=2),
        words((284.0, 14.0), "A"),
        line((312.0, 10.0), (342.0, 10.0), stroke_width=2, stroke_dasharray=_DASHES),
        words((346.0, 14.0), "B"),
    ]
    return picture(frame.width, frame.height, "The pulls of A as lines, those of B as dashes", marks + legend)


def difference(columns: JsonObject, speed: str, figure: str) -> Markup:
    """B less A over speed, with its band; where the band leaves zero the difference is real."""
    speeds, values = columns["speed"], columns["difference"]
    frame = Frame(
        Axis(min(speeds), max(speeds), speed),
        Axis(*spanned((*columns["low"], *columns["high"]), 0.08, 0.0), f"B less A, {figure}"),
        height=200.0,
    )
    over = frame.places(list(zip(speeds, columns["high"], strict=True)))
    under = frame.places(list(zip(speeds, columns["low"], strict=True)))
    zero = frame.y.at(0.0)
    marks = [
        *frame.marks(),
        band(over, under),
        line((frame.x.start, zero), (frame.x.end, zero), stroke=INK, stroke_width=1.5),
        curve(frame.places(list(zip(speeds, values, strict=True))), stroke_width=2.5),
    ]
    return picture(
        frame.width, frame.height, "B less A over engine speed, with its band and the zero line", marks
    )


def single_figures(first: Sequence[float], second: Sequence[float], unit: str) -> Markup:
    """Every pull a dot, A above B, with a stroke at the mean of each."""
    scale = Scale(*spanned((*first, *second), 0.12), 34.0, 408.0)
    marks = []
    for figure in ticks(scale.low, scale.high, 6):
        x = scale.at(figure)
        marks += [
            line((x, 14.0), (x, 84.0), stroke="#dcdcdc"),
            words((x, 100.0), plain(figure), text_anchor="middle", fill=SOFT),
        ]
    for name, figures, y in (("A", first, 32.0), ("B", second, 66.0)):
        mean = scale.at(sum(figures) / len(figures))
        marks.append(words((6.0, y + 5), name, font_weight="bold"))
        marks.append(line((mean, y - 13), (mean, y + 13), stroke_width=3))
        marks += [
            dot((scale.at(figure), y), 5, fill="#ffffff", stroke=INK, stroke_width=1.5) for figure in figures
        ]
    marks.append(words((408.0, 114.0), unit, text_anchor="end", fill=SOFT))
    return picture(420.0, 118.0, "Every pull of A and of B, with the mean of each", marks)


class Spread(NamedTuple):
    """A figure with its ends: of the plan, or of the pulls."""

    label: str
    text: str
    value: float
    low: float
    high: float


def planned_and_measured(shown: Sequence[Spread], unit: str) -> Markup | None:
    """Figures of one unit beside each other, each as a bar from its low to its high end."""
    if len(shown) < 2:
        return None
    scale = Scale(*spanned([end for entry in shown for end in (entry.low, entry.high)], 0.05), 8.0, 412.0)
    marks: list[Markup] = []
    for place, entry in enumerate(shown):
        y = 18.0 + 40.0 * place
        low, high = scale.at(entry.low), scale.at(entry.high)
        marks += [
            words((8.0, y), f"{entry.label}: {entry.text}"),
            line((low, y + 12), (high, y + 12), stroke_width=4, stroke=SOFT),
            dot((scale.at(entry.value), y + 12), 5),
        ]
    height = 40.0 * len(shown) + 24.0
    for figure in ticks(scale.low, scale.high, 6):
        marks.append(words((scale.at(figure), height - 4), plain(figure), text_anchor="middle", fill=SOFT))
    marks.append(words((412.0, height + 10), unit, text_anchor="end", fill=SOFT))
    title = "; ".join(f"{entry.label} {entry.text}" for entry in shown)
    return picture(420.0, height + 14, title, marks)
