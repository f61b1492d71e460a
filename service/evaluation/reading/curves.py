"""Readers of curves and maps: lists of points, each an object with a word an axis."""

from itertools import pairwise

from service.evaluation.reading.spec_in_hand import Reader, SpecInHand, pointer_of
from service.rulebook.input import Axis, Input
from service.rulebook.names import identifier
from service.units.fault import Fault
from service.units.number_form import NumberForm
from service.units.reading import read_number

Point = tuple[float, ...]


class PointReader:
    """Reads lists of points on the same axes."""

    def __init__(self, field: Input, axes: tuple[Axis, ...]):
        self.words = [axis.word for axis in axes]
        self.forms = [_axis_form(field.label, axis) for axis in axes]
        self.least, self.most = field.points

    def takes(self, value: object) -> bool:
        """Whether a value is a list of as many points as are wanted."""
        return isinstance(value, list) and self.least <= len(value) <= self.most

    def points(self, value: object, pointer: str, spec: SpecInHand) -> list[Point] | None:
        """The points in the order written; None where one of them is at fault."""
        assert isinstance(value, list)
        read = [self._point(point, f"{pointer}/{place}", spec) for place, point in enumerate(value)]
        points = [point for point in read if point]
        return points if len(points) == len(read) else None

    def _point(self, point: object, pointer: str, spec: SpecInHand) -> Point | None:
        if not isinstance(point, dict) or set(point) != set(self.words):
            detail = "This point needs its two words and no others."
            spec.fault(pointer, Fault("wrong-type", detail, " and ".join(self.words)))
            return None
        numbers = []
        for word, form in zip(self.words, self.forms, strict=True):
            number = read_number(point[word], form)
            if isinstance(number, Fault):
                spec.fault(f"{pointer}/{word}", number)
            elif number.spread:
                detail = "a point of a curve takes no tolerance; please give the number alone"
                spec.fault(f"{pointer}/{word}", form.fault("tolerance", detail))
            else:
                numbers.append(number.value)
        return tuple(numbers) if len(numbers) == len(self.words) else None


def _axis_form(label: str, axis: Axis) -> NumberForm:
    return NumberForm(
        label=label,
        dimensions=(axis.dimension,),
        possible={axis.dimension: (float("-inf"), float("inf"))},
        reading=axis.reading,
    )


def curve_reader(field: Input) -> Reader:
    """Reads a curve into two columns, sorted by the first."""
    pointer, name = pointer_of(field), identifier(field.path)
    reader = PointReader(field, field.axes)
    across, along = reader.words

    def read(value: object, spec: SpecInHand) -> None:
        if not reader.takes(value):
            detail = f"{field.label} is not a list of {reader.least} to {reader.most} points."
            expected = f'[{{"{across}": "...", "{along}": "..."}}, ...]'
            spec.fault(pointer, Fault("wrong-type", detail, expected))
            return
        points = reader.points(value, pointer, spec)
        if points is None:
            return
        xs, ys = (tuple(column) for column in zip(*sorted(points), strict=True))
        if any(a == b for a, b in pairwise(xs)):
            detail = f"{field.label} has two points at the same {across}."
            spec.fault(pointer, Fault("not-a-curve", detail, f"one {along} for each {across}"))
        elif field.shape and any((b > a) == (field.shape == "falling") and a != b for a, b in pairwise(ys)):
            detail = f"{field.label} is not {field.shape} throughout."
            spec.fault(pointer, Fault("not-a-curve", detail, f"{along} {field.shape} as {across} rises"))
        else:
            spec.known.curves[name] = (xs, ys)

    return read


def map_reader(field: Input) -> Reader:
    """Reads a map: several lists of points, some of which have to be there."""
    pointer, name = pointer_of(field), identifier(field.path)
    readers = {part: PointReader(field, axes) for part, axes in field.lists.items()}

    def read(value: object, spec: SpecInHand) -> None:
        if not isinstance(value, dict) or not set(value) <= set(readers):
            detail = f"{field.label} is not an object of lists."
            spec.fault(pointer, Fault("wrong-type", detail, ", ".join(readers)))
            return
        missing = [part for part in field.required if part not in value]
        if missing:
            spec.fault(pointer, Fault("incomplete", f"{field.label} lacks a list.", ", ".join(missing)))
            return
        before = len(spec.faults)
        lists = {
            part: _list(readers[part], points, f"{pointer}/{part}", spec) for part, points in value.items()
        }
        if len(spec.faults) == before:
            spec.known.curves[name] = lists

    return read


def _list(reader: PointReader, value: object, pointer: str, spec: SpecInHand) -> tuple[Point, ...]:
    """One list of a map; faults go to the spec."""
    if not reader.takes(value):
        detail = f"This is not a list of {reader.least} to {reader.most} points."
        spec.fault(pointer, Fault("wrong-type", detail, " and ".join(reader.words)))
        return ()
    return tuple(reader.points(value, pointer, spec) or ())
