"""The frame of a chart: both axes with their round figures, and the scales that the marks are placed by."""

from dataclasses import dataclass

from markupsafe import Markup

from service.web.pages.pictures.marks import INK, SHADE, SOFT, line, words
from service.web.pages.pictures.scale import Scale, plain, ticks

LEFT, RIGHT, TOP, BOTTOM = 52.0, 22.0, 24.0, 38.0


@dataclass(frozen=True)
class Axis:
    """The range of an axis and what it is called."""

    low: float
    high: float
    label: str


@dataclass(frozen=True)
class Frame:
    """A chart's paper, and where its figures lie."""

    across: Axis
    along: Axis
    width: float = 380.0
    height: float = 240.0

    @property
    def x(self) -> Scale:
        return Scale(self.across.low, self.across.high, LEFT, self.width - RIGHT)

    @property
    def y(self) -> Scale:
        return Scale(self.along.low, self.along.high, self.height - BOTTOM, TOP)

    def place(self, point: tuple[float, float]) -> tuple[float, float]:
        """Where a point lies."""
        return self.x.at(point[0]), self.y.at(point[1])

    def places(self, points: list[tuple[float, float]]) -> list[tuple[float, float]]:
        """Where points lie."""
        return [self.place(point) for point in points]

    def marks(self) -> list[Markup]:
        """Grid, figures and names of both axes."""
        floor, right = self.height - BOTTOM, self.width - RIGHT
        marks = []
        for figure in ticks(self.along.low, self.along.high, 5):
            y = self.y.at(figure)
            marks.append(line((LEFT, y), (right, y), stroke=SHADE))
            marks.append(words((LEFT - 6, y + 4), plain(figure), text_anchor="end", fill=SOFT))
        for figure in ticks(self.across.low, self.across.high, 6):
            x = self.x.at(figure)
            marks.append(line((x, floor), (x, floor + 5), stroke=INK))
            marks.append(words((x, floor + 18), plain(figure), text_anchor="middle", fill=SOFT))
        return [
            *marks,
            line((LEFT, floor), (right, floor), stroke_width=1.5),
            words((LEFT - 46, 14.0), self.along.label, font_weight="bold"),
            words((right, self.height - 4), self.across.label, text_anchor="end", fill=SOFT),
        ]
