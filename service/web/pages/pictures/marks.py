"""What a picture is drawn with: lines, bands, dots and texts, in black and greys that any printer has."""

from collections.abc import Iterable, Sequence
from typing import Any

from markupsafe import Markup, escape

INK, SOFT, SHADE = "#1a1a1a", "#5c5c5c", "#dcdcdc"
# Of the pictures; they are read at arm's length.
TEXT_SIZE = 13
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"
Place = tuple[float, float]


def mark(tag: str, content: str | Markup = "", **attributes: Any) -> Markup:
    """One element; what it says is text and never markup."""
    written = "".join(
        f' {name.rstrip("_").replace("_", "-")}="{escape(_short(value))}"'
        for name, value in attributes.items()
    )
    return Markup(f"<{tag}{written}>{escape(content)}</{tag}>")


def drawn(*marks: Markup) -> Markup:
    """Several marks as one."""
    return Markup("").join(marks)


def picture(width: float, height: float, title: str, marks: Iterable[Markup]) -> Markup:
    """The whole picture; whoever cannot see it is read the title."""
    return mark(
        "svg",
        drawn(*marks),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {_short(width)} {_short(height)}",
        width=width,
        height=height,
        role="img",
        aria_label=title,
        font_family=FONT,
        font_size=TEXT_SIZE,
        fill=INK,
    )


def line(start: Place, end: Place, **style: Any) -> Markup:
    """A straight line."""
    (x1, y1), (x2, y2) = start, end
    style.setdefault("stroke", INK)
    return mark("line", x1=x1, y1=y1, x2=x2, y2=y2, **style)


def curve(places: Sequence[Place], **style: Any) -> Markup:
    """A line through places."""
    return mark(
        "polyline", points=_points(places), fill="none", **{"stroke": INK, "stroke_width": 2, **style}
    )


def band(over: Sequence[Place], under: Sequence[Place]) -> Markup:
    """What lies between two lines."""
    return mark(
        "polygon", points=_points([*over, *reversed(under)]), fill=SHADE, stroke=SOFT, stroke_width=0.5
    )


def box(corner: Place, size: Place, **style: Any) -> Markup:
    """A rectangle."""
    (x, y), (width, height) = corner, size
    return mark("rect", x=x, y=y, width=max(width, 0), height=height, **style)


def words(at: Place, text: str, **style: Any) -> Markup:
    """A text, from the place on."""
    return mark("text", text, x=at[0], y=at[1], **style)


def diamond(at: Place, size: float = 7, **style: Any) -> Markup:
    """The mark of a value."""
    x, y = at
    corners = [(x, y - size), (x + size, y), (x, y + size), (x - size, y)]
    return mark("polygon", points=_points(corners), **({"fill": INK} | style))


def dot(at: Place, size: float = 4, **style: Any) -> Markup:
    """A round mark."""
    return mark("circle", cx=at[0], cy=at[1], r=size, **({"fill": INK} | style))


def cross(at: Place, size: float = 5) -> Markup:
    """The mark of what fails."""
    x, y = at
    return drawn(
        line((x - size, y - size), (x + size, y + size), stroke_width=2),
        line((x - size, y + size), (x + size, y - size), stroke_width=2),
    )


def _points(places: Iterable[Place]) -> str:
    return " ".join(f"{_short(x)},{_short(y)}" for x, y in places)


def _short(value: object) -> object:
    """A tenth of a point is finer than any printer."""
    return f"{value:.1f}".removesuffix(".0") if isinstance(value, float) else value
