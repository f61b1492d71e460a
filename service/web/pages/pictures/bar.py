"""A verdict as a bar: the value, its limit, and how far the value may move with what was assumed."""

from markupsafe import Markup

from service.json_object import JsonObject
from service.web.pages.pictures.marks import INK, SHADE, SOFT, box, diamond, line, picture, words
from service.web.pages.pictures.scale import Scale, spanned

WIDTH, HEIGHT, EDGE = 360.0, 62.0, 6.0
_MIDDLE = 32.0
# Beyond this share of the width a label is written towards the middle.
_NEAR_END = 0.28


def verdict_bar(entry: JsonObject) -> Markup | None:
    """The bar of an entry of `checks`; None where it has no two figures to set against each other."""
    value = entry.get("value", {}).get("value")
    limit = entry.get("limit", {}).get("value")
    spread = entry.get("range")
    if value is None or limit is None or _counted(entry, spread):
        return None
    ends = (spread["low"], spread["high"]) if spread else (value, value)
    scale = Scale(*spanned((value, limit, *ends), 0.12), EDGE, WIDTH - EDGE)
    return picture(WIDTH, HEIGHT, _title(entry), _marks(entry, scale, ends))


def _counted(entry: JsonObject, spread: JsonObject | None) -> bool:
    """Whether value and limit are plain whole numbers, which count or flag something and measure nothing."""
    figures = (entry["value"], entry["limit"])
    return spread is None and all(
        not figure["unit"] and float(figure["value"]).is_integer() for figure in figures
    )


def _marks(entry: JsonObject, scale: Scale, ends: tuple[float, float]) -> list[Markup]:
    at_limit, at_value = scale.at(entry["limit"]["value"]), scale.at(entry["value"]["value"])
    above = entry["limit"]["side"] == "above"
    far, width = (at_limit, WIDTH - EDGE - at_limit) if above else (EDGE, at_limit - EDGE)
    marks = [
        box((far, _MIDDLE - 10), (width, 20.0), fill=SHADE),
        line((EDGE, _MIDDLE), (WIDTH - EDGE, _MIDDLE), stroke=SOFT),
    ]
    if ends[0] < ends[1]:
        low, high = scale.at(ends[0]), scale.at(ends[1])
        marks.append(
            box((low, _MIDDLE - 5), (high - low, 10.0), fill="#ffffff", stroke=INK, stroke_width=1.5)
        )
    bound = "at most" if above else "at least"
    return [
        *marks,
        line((at_limit, _MIDDLE - 14), (at_limit, _MIDDLE + 14), stroke_width=3),
        _label(at_limit, 14.0, f"{bound} {entry['limit']['text']}", weight="normal"),
        diamond((at_value, _MIDDLE)),
        _label(at_value, HEIGHT - 4, entry["value"]["text"], weight="bold"),
    ]


def _label(x: float, y: float, text: str, weight: str) -> Markup:
    share = x / WIDTH
    anchor = "start" if share < _NEAR_END else "end" if share > 1 - _NEAR_END else "middle"
    return words((x, y), text, text_anchor=anchor, font_weight=weight)


def _title(entry: JsonObject) -> str:
    bound = "at most" if entry["limit"]["side"] == "above" else "at least"
    spread = f", between {entry['range']['text']}" if "range" in entry else ""
    return f"{entry['value']['text']}{spread}; {bound} {entry['limit']['text']}"
