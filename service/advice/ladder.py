"""The values a thing can be bought or set in: whole steps of the unit people use, between the ends that make sense."""

from dataclasses import dataclass
from math import ceil, floor

from service.evaluation.known import Known
from service.rulebook.input import Input
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook
from service.units.plain_number import find
from service.units.reading import read_number

# A value on a step, but for rounding.
ON_A_STEP = 1e-9


@dataclass(frozen=True, slots=True)
class Ladder:
    """Rungs are whole numbers; rung k stands for k steps. `now` is the build's own value in steps, None where it is not given."""

    input: Input
    name: str
    step: float
    unit: str
    lowest: int
    highest: int
    now: float | None

    def text(self, rung: int) -> str:
        """A rung as a client writes it."""
        number = f"{rung * self.step:.10g}"
        return f"{number} {self.unit}".rstrip()

    def json(self, rung: int) -> object:
        """A rung as it stands in a build."""
        return rung if self.input.kind == "count" else self.text(rung)

    def value(self, rung: int) -> float:
        """A rung in SI, read as a client's text would be."""
        return (
            float(rung) if self.input.kind == "count" else read_number(self.text(rung), self.input.form).value
        )

    def rungs(self, way: str) -> tuple[int, int]:
        """The nearest rung past the build's own value in one direction, and the last one; from the far side where it is not given."""
        if way == "up":
            return (
                self.lowest if self.now is None else max(self.lowest, floor(self.now + ON_A_STEP) + 1)
            ), self.highest
        return (
            self.highest if self.now is None else min(self.highest, ceil(self.now - ON_A_STEP) - 1)
        ), self.lowest


def ladder_of(rulebook: Rulebook, path: str, known: Known, system: str) -> Ladder | None:
    """The ladder of an input; None where it is no number or has no step."""
    one = rulebook.inputs[path]
    if one.kind == "count":
        now = known.numbers.get(identifier(path))
        return Ladder(one, identifier(path), 1.0, "", *one.possible_count, now)
    if not one.steps:
        return None
    given = [dimension for dimension, word in one.words.items() if identifier(word) in known.numbers]
    dimension = next((dimension for dimension in given if dimension in one.steps), None)
    if dimension is None:
        if given:
            return None
        dimension = next(iter(one.steps))
    step, unit = one.steps[dimension][system]
    name = identifier(one.words[dimension])
    per_step, offset = _scale(one, step, unit)
    value = known.numbers.get(name)
    now = None if value is None else (value - offset) / per_step
    low, high = one.form.possible[dimension]
    usual = one.usual.get(dimension)
    # What is usual bounds the search as long as the build itself is usual.
    if usual and (value is None or usual[0] <= value <= usual[1]):
        low, high = usual
    lowest, highest = (
        ceil((low - offset) / per_step - ON_A_STEP),
        floor((high - offset) / per_step + ON_A_STEP),
    )
    if low > 0 and lowest == 0 and offset == 0:
        lowest = 1
    return Ladder(one, name, step, unit, lowest, highest, now)


def _scale(one: Input, step: float, unit: str) -> tuple[float, float]:
    """SI for each step, and SI at zero steps."""
    found = find(unit, one.form)
    return step * found.unit.factor, found.unit.offset
