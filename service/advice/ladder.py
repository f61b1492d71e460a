"""The values a thing can be bought or set in: whole steps of the unit people use, between the ends that make
sense, or the sizes that are sold.
"""

from bisect import bisect_left
from dataclasses import dataclass, replace
from math import ceil, floor

from service.evaluation.known import Known
from service.evaluation.reporting.display import ten_digits
from service.json_object import JsonObject
from service.rulebook.input import Input
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook
from service.units.number_form import NumberForm, Reading
from service.units.reading import read_number
from service.units.signs import signed
from service.units.spelling import find

# A value on a step, but for rounding.
ON_A_STEP = 1e-9
# From here on a decimal means nothing to whoever buys it.
WHOLE_FROM = 99.95
# Where a power or a torque is meant when nobody says.
ANYWAY = "crank"


@dataclass(frozen=True, slots=True)
class Ladder:
    """Rungs are whole numbers; rung k stands for k steps, or for the size at position k of those sold.

    `now`: the build's own value in rungs, `number_now` in the unit, None where not given. `place`: where a
    power or a torque of this build is meant.
    """

    input: Input
    name: str
    step: float
    unit: str
    lowest: int
    highest: int
    now: float | None
    number_now: float | None
    place: str | None = None
    sizes: tuple[float, ...] = ()

    def text(self, rung: int) -> str:
        """A rung as a person says it."""
        return f"{signed(self.plain(rung), self.unit)}{self._at_place}"

    def written(self, rung: int) -> str:
        """A rung as a client writes it."""
        return f"{self.plain(rung)} {self.unit}".rstrip()

    def plain(self, rung: int) -> str:
        """The number of a rung without its unit."""
        return f"{self.sizes[rung] if self.sizes else rung * self.step:.10g}"

    @property
    def _at_place(self) -> str:
        return "" if self.place in (None, ANYWAY) else f" at the {self.place}"

    def measure(self, rung: int) -> JsonObject:
        """A rung in a reply."""
        return {"value": float(self.plain(rung)), "unit": self.unit, "text": self.text(rung)}

    def shown(self, value: float) -> JsonObject:
        """Any value in SI as a reply shows it, whether it lies on a rung or between two."""
        per_unit, offset = (1.0, 0.0) if self.input.kind == "count" else _scale(self.input, 1.0, self.unit)
        number = (value - offset) / per_unit
        text = signed(_for_people(number), self.unit)
        exact = f"{ten_digits(number)!r} {self.unit}".rstrip()
        return {"value": ten_digits(number), "unit": self.unit, "text": text, "set": exact}

    def range(self, low: float, high: float) -> JsonObject:
        """From one value in SI to another, as a reply shows a range."""
        first, last = sorted((self.shown(low), self.shown(high)), key=lambda end: float(end["value"]))
        text = f"{_for_people(first['value'])} to {last['text']}"
        return {"low": first["value"], "high": last["value"], "unit": self.unit, "text": text}

    def text_now(self) -> str | None:
        """The build's own value."""
        if self.number_now is None:
            return None
        return signed(_for_people(self.number_now), self.unit)

    def json(self, rung: int) -> object:
        """A rung as it stands in a build."""
        return rung if self.input.kind == "count" else self.written(rung)

    def change(self, rung: int) -> JsonObject:
        """A rung as a piece of a build; the place of a power goes with it."""
        fields: JsonObject = {self.input.name: self.json(rung)}
        if self.place and self.input.place:
            fields[self.input.place.rpartition(".")[2]] = self.place
        return {self.input.group: fields} if self.input.group else fields

    def value(self, rung: int) -> float:
        """A rung in SI, read as a client's text would be."""
        if self.input.kind == "count":
            return float(rung)
        reading = read_number(self.written(rung), _form(self.input))
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

    def has_room(self, way: str) -> bool:
        """Whether there is a rung past the build's own value in one direction."""
        first, last = self.rungs(way)
        return first <= last if way == "up" else first >= last


def _for_people(number: float) -> str:
    return f"{number:.0f}" if abs(number) >= WHOLE_FROM else f"{number:.3g}"


def ladder_of(rulebook: Rulebook, path: str, known: Known, system: str) -> Ladder | None:
    """The ladder of an input; None where it is no number or has no step. A build beyond what is usual moves
    in what is possible.
    """
    return _ladder(rulebook, path, known, system, only_usual=False)


def ladder_of_sizes(rulebook: Rulebook, path: str, known: Known, system: str) -> Ladder | None:
    """The same with what exists only: the sizes that are sold, or steps within what is usual."""
    ladder = _ladder(rulebook, path, known, system, only_usual=True)
    if ladder is None or not ladder.input.sizes:
        return ladder
    dimension = _dimension(ladder.input, known, system)
    sold = [sizes for sizes in ladder.input.sizes if sizes.dimension == dimension]
    # Of several lists the one in the unit and for the system of the reply.
    sold.sort(key=lambda sizes: (sizes.unit != ladder.unit, sizes.system not in (None, system)))
    if not sold:
        return ladder
    sizes = sold[0]
    per_unit, offset = _scale(ladder.input, 1.0, sizes.unit)
    value = known.numbers.get(ladder.name)
    number = None if value is None else (value - offset) / per_unit
    now = None if number is None else _position(sizes.numbers, number)
    return replace(
        ladder,
        unit=sizes.unit,
        lowest=0,
        highest=len(sizes.numbers) - 1,
        now=now,
        number_now=number,
        sizes=sizes.numbers,
    )


def _position(sizes: tuple[float, ...], number: float) -> float:
    """Where a number lies among sizes; between two of them half-way."""
    slack = ON_A_STEP * abs(number)
    position = bisect_left(sizes, number - slack)
    on_a_size = position < len(sizes) and sizes[position] <= number + slack
    return position if on_a_size else position - 0.5


def _ladder(rulebook: Rulebook, path: str, known: Known, system: str, only_usual: bool) -> Ladder | None:
    field = rulebook.inputs[path]
    if field.kind == "count":
        now = known.numbers.get(identifier(path))
        return Ladder(field, identifier(path), 1.0, "", *field.possible_count, now, now)
    dimension = _dimension(field, known, system)
    if dimension is None:
        return None
    step, unit = field.steps[dimension][system]
    name = identifier(field.words[dimension])
    per_step, offset = _scale(field, step, unit)
    value = known.numbers.get(name)
    now = None if value is None else (value - offset) / per_step
    number = None if now is None else now * step
    low, high = _ends(field, dimension, None if only_usual else value)
    lowest = ceil((low - offset) / per_step - ON_A_STEP)
    highest = floor((high - offset) / per_step + ON_A_STEP)
    if low > 0 and lowest == 0 and offset == 0:
        lowest = 1
    place = known.choices.get(field.place) if field.place else None
    return Ladder(field, name, step, unit, lowest, highest, now, number, place)


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
