"""Pulls as people paste them: a figure a line, or curves, a point a line and an empty line between pulls."""

import re
from typing import Any

# What stands between the speed and the figure of a point; the comma of `1,250 hp` does not.
_BETWEEN = re.compile(r"\s*[;\t]\s*|,\s+|(?<=\d{4}),|(?<=[a-z]),")


def pulls_of(text: str) -> list[Any]:
    """As a request has them; what is no pull is left for the API to refuse."""
    lines = [line.strip() for line in text.splitlines()]
    heading = _units(lines[0]) if len(lines) > 1 and lines[0] else []
    body = lines[1:] if heading else lines
    if not any(_is_point(line) for line in body):
        return [_with_unit(line, heading[-1:] or [""], 0) for line in body if line]
    pulls: list[list[dict[str, str]]] = [[]]
    for line in body:
        if line:
            pulls[-1].append(_point(line, heading))
        elif pulls[-1]:
            pulls.append([])
    return [pull for pull in pulls if pull]


def _units(line: str) -> list[str]:
    """Of a heading such as `rpm, whp`, which holds no figure."""
    return [] if re.search(r"\d", line) else [unit.strip() for unit in re.split(r"[;,\t]", line)]


def _is_point(line: str) -> bool:
    return len(_BETWEEN.split(line, maxsplit=1)) > 1


def _point(line: str, units: list[str]) -> dict[str, str]:
    speed, *figure = _BETWEEN.split(line, maxsplit=1)
    return {"speed": _with_unit(speed, units, 0), "value": _with_unit(" ".join(figure), units, 1)}


def _with_unit(figure: str, units: list[str], place: int) -> str:
    """The figure with the unit of its column, unless it has one."""
    bare = re.fullmatch(r"[\d.,\s]+", figure)
    return f"{figure} {units[place]}" if bare and len(units) > place and units[place] else figure
