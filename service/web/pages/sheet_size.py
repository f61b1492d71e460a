"""How closely a sheet is set, so that it comes on one side of paper: by the lines that its texts take."""

from collections.abc import Iterable
from math import ceil
from typing import Any, NamedTuple


class Paper(NamedTuple):
    """Lines of the usual size on one side."""

    lines: float


PAPERS = {"metric": Paper(63.0), "us": Paper(58.0)}
# Characters in a line of half the width, usual and small.
_HALF, _SMALL = 54, 66
# Title, signature and identity; a heading; a bar with its title; a row of a list that is watched.
_AROUND, _HEADING, _BAR, _WATCHED = 13.0, 1.7, 4.9, 1.5
# By how many times the lines of a side each way of setting holds.
_SETTINGS = ((1.0, ""), (1.2, "close"))


def setting_of(content: dict[str, Any], units: str) -> str:
    """The word of the way to set it: empty for the usual one, `close` or `closest`."""
    share = _lines(content) / PAPERS[units].lines
    return next((word for most, word in _SETTINGS if share <= most), "closest")


def _lines(content: dict[str, Any]) -> float:
    given = [f"{label} {text};" for label, text in content["given"]]
    halves = (
        (_taken([" ".join(given)], _HALF) if len(given) > 10 else len(given) * 1.1)
        + len(content["weakest"]) * _BAR
        + _taken((f"{entry['label']}: {entry['text']}" for entry in content["orders"]), _HALF)
        + _taken(
            (f"{entry['label']} {entry['text']} {entry.get('between', '')}" for entry in content["assumed"]),
            45,
        )
        + sum(len(moment.watch) * _WATCHED + 1 for moment in content["moments"])
        + len(content["torqued"])
        + 6 * _HEADING
    )
    return _AROUND + halves / 2 + 0.8 * _taken(content["cautions"], _SMALL) / 2 + _HEADING


def _taken(texts: Iterable[str], width: int) -> float:
    return sum(ceil(len(text) / width) for text in texts)
