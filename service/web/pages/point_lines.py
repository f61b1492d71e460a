"""Curves and maps as people type them, a point a line: `43.5 psi, 255 L/h`, or `surge 8 lb/min, 1.2`."""

from typing import Any

from service.rulebook.input import Axis, Input


def points_of(field: Input, text: str) -> Any:
    """The points as a request has them; a line with too few or too many numbers is for the API to refuse."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if field.kind == "curve":
        return [_point(field.axes, line) for line in lines]
    lists: dict[str, list[dict[str, str]]] = {}
    for line in lines:
        name, _, rest = line.partition(" ")
        lists.setdefault(name, []).append(_point(field.lists.get(name, ()), rest))
    return lists


def lines_of(field: Input, points: Any) -> str:
    """The same the other way round, axes in the order of the rulebook; what is no list of points stays."""
    if isinstance(points, dict) and all(isinstance(listed, list) for listed in points.values()):
        return "\n".join(
            f"{name} {_line(field.lists.get(name, ()), point)}"
            for name, listed in points.items()
            for point in listed
        )
    if isinstance(points, list):
        return "\n".join(_line(field.axes, point) for point in points)
    return str(points)


def example_of(field: Input) -> str:
    """What a line holds."""
    lists = field.lists or {"": field.axes}
    return "\n".join(
        " ".join(filter(None, [name, ", ".join(axis.word.replace("_", " ") for axis in axes)]))
        for name, axes in lists.items()
    )


def _point(axes: tuple[Axis, ...], line: str) -> dict[str, str]:
    numbers = [number.strip() for number in line.replace(";", ",").split(",")]
    words = [axis.word for axis in axes]
    words += [f"number {place + 1}" for place in range(len(words), len(numbers))]
    return dict(zip(words, numbers, strict=False))


def _line(axes: tuple[Axis, ...], point: Any) -> str:
    if not isinstance(point, dict):
        return str(point)
    words = [axis.word for axis in axes if axis.word in point]
    return ", ".join(str(point[word]) for word in [*words, *(word for word in point if word not in words)])
