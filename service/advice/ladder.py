"""The values a thing can be bought or set in: whole steps of the unit people use, between the ends that make
sense.
"""

from dataclasses import dataclass
from math import ceil, floor

from service.evaluation.known import Known
from service.json_object import JsonObject
from service.rulebook.input import Input
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook
from service.units.number_form import NumberForm, Reading
from service.units.plain_number import find
from service.units.reading import read_number
from service.units.signs import signed

# A value on a step, but for rounding.
ON_A_STEP = 1e-9


@dataclass(frozen=True, slots=True)
class Ladder:
    """Rungs are whole numbers; rung k stands for k steps. `now` is the build's own value in steps, None where
    not given.
    """

    input: Input
    name: str
    step: float
    unit: str
    lowest: int
    highest: int
    now: float | None

    def text(self, rung: int) -> str:
        """A rung as people read it."""
        return signed(self.plain(rung), self.unit)

    def plain(self, rung: int) -> str:
        """The number of a rung without its unit."""
        return f"{rung * self.step:.10g}"

    def measure(self, rung: int) -> JsonObject:
        """A rung in a reply."""
        return {"value": float(self.plain(rung)), "unit": self.unit, "text": self.text(rung)}

    def text_now(self) -> str | None:
        """The build's own value."""
        return None if self.now is None else signed(f"{self.now * self.step:.4g}", self.unit)

    def json(self, rung: int) -> object:
        """A rung as a build holds it."""
        return rung if self.input.kind == "count" else self._written(rung)

    def _written(self, rung: int) -> str:
        return f"{self.plain(rung)} {self.unit}".rstrip()

    def value(self, rung: int) -> float:
        """A rung in SI, read as a client's text would be."""
        if self.input.kind == "count":
            return float(rung)
        reading = read_number(self._written(rung), _form(self.input))
        assert isinstance(reading, Reading), "the rungs of a ladder are values that can be read"
        return reading.value

    def rungs(self, way: str) -> tuple[int, int]:
        """The nearest rung past the build's own value in one direction, and the last one; all where it is not
        given.
        """
        if way == "up":
            first = self.lowest if self.now is None else max(self.lowest, floor(self.now + ON_A_STEP) + 1)
            return first, self.highest
        first = self.highest if self.now is None else min(self.highest, ceil(self.now - ON_A_STEP) - 1)
        return first, self.lowest


def ladder_of(rulebook: Rulebook, path: str, known: Known, system: str) -> Ladder | None:
    """The ladder of an input; None where it is no number or has no step."""
    field = rulebook.inputs[path]
    if field.kind == "count":
        now = known.numbers.get(identifier(path))
        return Ladder(field, identifier(path), 1.0, "", *field.possible_count, now)
    dimension = _dimension(field, known, system)
    if dimension is None:
        return None
    step, unit = field.steps[dimension][system]
    name = identifier(field.words[dimension])
    per_step, offset = _scale(field, step, unit)
    value = known.numbers.get(name)
    now = None if value is None else (value - offset) / per_step
    low, high = _ends(field, dimension, value)
    lowest = ceil((low - offset) / per_step - ON_A_STEP)
    highest = floor((high - offset) / per_step + ON_A_STEP)
    if low > 0 and lowest == 0 and offset == 0:
        lowest = 1
    return Ladder(field, name, step, unit, lowest, highest, now)


def _dimension(field: Input, known: Known, system: str) -> str | None:
    """The dimension to move an input in: the one it is given in, else the one it is bought in, else the first
    with a step; None where there is none.
    """
    given = [dimension for dimension, word in field.words.items() if identifier(word) in known.numbers]
    bought = [field.stepped_in[system]] if system in field.stepped_in else []
    return next(
        (dimension for dimension in given or [*bought, *field.steps] if dimension in field.steps), None
    )


def _ends(field: Input, dimension: str, value: float | None) -> tuple[float, float]:
    """From where to where an input is moved: what is usual bounds it as long as the build itself is usual."""
    usual = field.usual.get(dimension)
    if usual and (value is None or usual[0] <= value <= usual[1]):
        return usual
    return _form(field).possible[dimension]


def _scale(field: Input, step: float, unit: str) -> tuple[float, float]:
    """SI for each step, and SI at zero steps."""
    spelt = find(unit, _form(field))
    assert spelt is not None, "a step is written in a unit of its input"
    return step * spelt.unit.factor, spelt.unit.offset


def _form(field: Input) -> NumberForm:
    assert field.form is not None, "a number has a form"
    return field.form
