"""Pictures as text: where the marks lie, what they say, and that they need no colour."""

import re
from xml.etree import ElementTree

import pytest

from service.web.pages.pictures.bar import WIDTH, verdict_bar
from service.web.pages.pictures.choices import price_against_margin
from service.web.pages.pictures.compressor_map import Map, RunningPoint, map_with_points
from service.web.pages.pictures.curves import curve_over_speed
from service.web.pages.pictures.scale import Scale, runs, spanned, ticks
from service.web.pages.pictures.two_sets import (
    Pulls,
    Spread,
    both_curves,
    difference,
    planned_and_measured,
    single_figures,
)

SVG = "{http://www.w3.org/2000/svg}"
SPEED = {"quantity": "speed", "label": "Engine speed", "unit": "rpm", "values": [2000.0, 4000.0, 6000.0]}


def measure(value, unit=" %"):
    return {"value": value, "unit": "%", "text": f"{value:g}{unit}"}


ENTRY = {
    "value": measure(88.0),
    "limit": measure(85.0) | {"side": "above"},
    "range": {"low": 61.0, "high": 107.0, "text": "61 to 107 %"},
}
POWER = {
    "quantity": "power",
    "label": "Power <b>",
    "unit": "hp",
    "values": [100.0, 250.0, 240.0],
    "low": [80.0, 220.0, 200.0],
    "high": [120.0, 280.0, 290.0],
}
PARTS = [
    {"price": 405.0, "verdict": "fail", "least_margin": {"margin": -0.26}},
    {"price": 472.5, "verdict": "warn", "least_margin": {"margin": -0.03}},
    {"price": 525.0, "verdict": "pass", "least_margin": {"margin": 0.2}},
]
COLUMNS = {
    "speed": [3000.0, 4000.0],
    "difference": [3.7, 4.8],
    "low": [-1.0, 1.0],
    "high": [8.0, 9.0],
}
CURVES = [[(3000.0, 200.0), (4000.0, 250.0)], [(3000.0, 201.0), (4000.0, 252.0)]]
PICTURES = {
    "bar": verdict_bar(ENTRY),
    "curve": curve_over_speed(SPEED, POWER),
    "choices": price_against_margin(PARTS, "EUR"),
    "map": map_with_points(
        Map([(8.0, 1.2), (24.0, 2.8)], [(48.0, 1.2), (52.0, 2.8)], [(30.0, 2.0, 0.76)], "lb/min"),
        [RunningPoint("at peak power", 32.6, 2.1)],
    ),
    "both curves": both_curves(Pulls(CURVES, CURVES, "Engine speed, rpm", "Power, hp")),
    "difference": difference(COLUMNS, "Engine speed, rpm", "hp"),
    "single figures": single_figures([401.0, 403.0], [405.0, 407.0], "hp"),
    "planned": planned_and_measured(
        [Spread("Planned", "490 hp", 490.0, 395.0, 570.0), Spread("Pulled", "475 hp", 475.0, 444.0, 543.0)],
        "hp",
    ),
}


def elements(picture, tag):
    return ElementTree.fromstring(str(picture)).iter(f"{SVG}{tag}")


@pytest.mark.parametrize("picture", PICTURES.values(), ids=PICTURES)
def test_it_is_a_picture_with_a_name_in_black_and_greys(picture):
    root = ElementTree.fromstring(str(picture))
    assert root.get("role") == "img" and len(root.get("aria-label")) > 10
    colours = set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]{6})"', str(picture)))
    assert colours and all(len({colour[1:3], colour[3:5], colour[5:7]}) == 1 for colour in colours), colours
    assert "style=" not in picture and "<script" not in picture


@pytest.mark.parametrize("picture", PICTURES.values(), ids=PICTURES)
def test_every_mark_lies_on_the_paper(picture):
    root = ElementTree.fromstring(str(picture))
    width, height = (float(side) for side in root.get("viewBox").split()[2:])
    for element in root.iter():
        for pair in element.get("points", "").split():
            x, y = map(float, pair.split(","))
            assert -1 <= x <= width + 1 and -1 <= y <= height + 1
        for name in ("x", "x1", "x2", "cx"):
            assert 0 <= float(element.get(name, 0)) <= width
        for name in ("y", "y1", "y2", "cy"):
            assert 0 <= float(element.get(name, 0)) <= height


def test_the_bar_has_value_limit_and_range_in_order():
    ((value,), (limit,)) = (list(elements(PICTURES["bar"], tag))[:1] for tag in ("polygon", "line"))
    boxes = list(elements(PICTURES["bar"], "rect"))
    limit = next(line for line in elements(PICTURES["bar"], "line") if line.get("stroke-width") == "3")
    centre = sum(float(pair.split(",")[0]) for pair in value.get("points").split()) / 4
    spread = boxes[1]
    assert float(spread.get("x")) < float(limit.get("x1")) < centre
    assert centre < float(spread.get("x")) + float(spread.get("width")) < WIDTH
    assert [text.text for text in elements(PICTURES["bar"], "text")] == ["at most 85 %", "88 %"]
    # What is past the limit is shaded from the limit on.
    assert boxes[0].get("x") == limit.get("x1")


def test_a_limit_from_below_is_shaded_below():
    entry = ENTRY | {"limit": measure(85.0) | {"side": "below"}}
    assert "at least 85 %" in verdict_bar(entry)


def test_no_bar_for_what_is_counted():
    one, two = ({"value": number, "unit": "", "text": f"{number:g}"} for number in (1.0, 2.0))
    assert verdict_bar({"value": two, "limit": one | {"side": "above"}}) is None


def test_parts_far_off_lie_at_the_edge():
    far = [*PARTS, {"price": 780.0, "verdict": "fail", "least_margin": {"margin": -51.0}}]
    labels = [text.text for text in elements(price_against_margin(far, "EUR"), "text")]
    assert "-100" in labels and "-5000" not in labels


def test_no_bar_without_two_figures():
    assert verdict_bar({"verdict": "pass"}) is None
    assert verdict_bar(ENTRY | {"limit": ENTRY["limit"] | {"value": None}}) is None


def test_the_band_holds_the_curve_and_words_are_text():
    picture = PICTURES["curve"]
    assert "Power &lt;b&gt;" in picture and "<b>" not in picture
    (line,) = elements(picture, "polyline")
    (band,) = elements(picture, "polygon")
    heights = [float(pair.split(",")[1]) for pair in line.get("points").split()]
    edges = [float(pair.split(",")[1]) for pair in band.get("points").split()]
    over, under = edges[:3], edges[3:][::-1]
    # Upwards is less in a picture.
    assert all(top < height < foot for top, height, foot in zip(over, heights, under, strict=True))
    assert "250" in [text.text for text in elements(picture, "text")]


def test_what_cannot_be_worked_out_breaks_the_curve():
    column = {key: POWER[key] for key in ("quantity", "label", "unit")} | {"values": [1.0, None, 3.0]}
    assert len(list(elements(curve_over_speed(SPEED, column), "polyline"))) == 2
    assert curve_over_speed(SPEED, column | {"values": [None] * 3}) is None
    assert runs([(1, None)]) == []


def test_verdicts_have_marks_of_different_forms():
    picture = PICTURES["choices"]
    assert len(list(elements(picture, "circle"))) == len(list(elements(picture, "polygon"))) == 1
    assert price_against_margin(PARTS[:1], "EUR") is None


@pytest.mark.parametrize(
    ("low", "high", "most", "expected"),
    [
        (0, 10, 5, [0, 2, 4, 6, 8, 10]),
        (1500, 6800, 6, [2000, 3000, 4000, 5000, 6000]),
        (0.61, 1.07, 5, [0.7, 0.8, 0.9, 1.0]),
        (-3, 3, 6, [-3, -2, -1, 0, 1, 2, 3]),
        (5, 5, 6, [5]),
    ],
)
def test_axes_name_round_figures(low, high, most, expected):
    assert ticks(low, high, most) == pytest.approx(expected)


def test_scales():
    assert Scale(0, 10, 100, 200).at(5) == 150
    assert Scale(3, 3, 100, 200).at(3) == 150
    assert spanned([1.0, None, 3.0], 0.5) == (0.0, 4.0)
    assert spanned([2.0], 0.1) == (1.8, 2.2)
