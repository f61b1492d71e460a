"""What one number of the build spec may look like, and how a number that was read is written back."""

from dataclasses import dataclass, field
from typing import NamedTuple

from service.units.fault import Fault
from service.units.units import DIMENSIONS, Unit, offer


class Reading(NamedTuple):
    """A number in SI, with a note where it was not written in standard form, the place its unit named, the
    ends of its tolerance, and the scale its unit named.
    """

    dimension: str
    value: float
    note: str | None = None
    place: str | None = None
    spread: tuple[float, float] | None = None
    scale: str | None = None


@dataclass(frozen=True, slots=True)
class NumberForm:
    """What one number of the build spec may look like; ranges in SI for each dimension it may be given in.

    `reading` gauge, absolute or difference for pressures; `range` judge_high or judge_low where "7 to 14 psi"
    is read; `forms` may hold to_one ("8.5:1") and ethanol_grade ("E60"); `short_for` what the trade leaves
    out ("42 lb" of an injector); `scales` words such as RON that say of what kind a number is; `usual` and
    `bare` only sharpen suggestions: `bare` within which range people leave a unit out.
    """

    label: str
    dimensions: tuple[str, ...]
    possible: dict[str, tuple[float, float]]
    reading: str | None = None
    range: str | None = None
    forms: tuple[str, ...] = ()
    has_place: bool = False
    usual: dict[str, tuple[float, float]] = field(default_factory=dict)
    bare: dict[str, tuple[float, float]] = field(default_factory=dict)
    short_for: dict[str, str] = field(default_factory=dict)
    scales: tuple[str, ...] = ()
    quick: dict[str, "Quick"] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        quick: dict[str, Quick] = {}
        for dimension in self.dimensions:
            low, high = self.possible[dimension]
            for spelling, unit in DIMENSIONS[dimension].units.items():
                meaning = Spelling(dimension, unit, spelling)
                if spelling == unit.text and note(1.0, meaning, self) is None:
                    quick.setdefault(spelling, Quick(dimension, unit.factor, unit.offset, low, high))
        object.__setattr__(self, "quick", quick)

    @property
    def expected(self) -> str:
        """What fits, in words."""
        return ", or ".join(offer(dimension) for dimension in self.dimensions)

    def fault(
        self, code: str, detail: str, suggestion: str | None = None, options: tuple[str, ...] = ()
    ) -> Fault:
        return Fault(code, f"{self.label}: {detail}.", self.expected, suggestion, options)


class Spelling(NamedTuple):
    """The unit that a spelling means in a form, and what else it says: absolute or gauge, at the crank or at
    the wheels, on which scale.
    """

    dimension: str
    unit: Unit
    written: str
    reading: str | None = None
    place: str | None = None
    scale: str | None = None


class Quick(NamedTuple):
    """What it takes to read a plain number with a standard unit."""

    dimension: str
    factor: float
    offset: float
    low: float
    high: float


def note(number: float, spelling: Spelling, form: NumberForm) -> str | None:
    """How a number was understood where it was not written in standard form, else None."""
    dimension, unit, written, reading, place, scale = spelling
    shown = amount(number, unit.text)
    if place:
        return f"{shown} at the {place}"
    if scale:
        return f"{shown} {scale}"
    if unit.text == "%":
        return f"{shown} = {show(number * unit.factor)}"
    if dimension == "pressure" and form.reading == "absolute" and reading is None:
        return f"{shown} read as absolute"
    if written.replace(" ", "").casefold() == unit.text.replace(" ", "").casefold():
        return None
    return f"{shown} absolute" if reading == "absolute" else shown


def amount(number: float, unit: str) -> str:
    """A number and its unit."""
    return amount_text(show(number), unit)


def amount_text(number: str, unit: str) -> str:
    """A number already written, and its unit."""
    return f"{number} {unit}".rstrip()


def show(number: float) -> str:
    """Up to ten significant digits, no trailing zeros."""
    return f"{number:.10g}"
