"""One field of the build spec, as the rules describe it."""

from dataclasses import dataclass, field
from typing import NamedTuple

from service.units.number_form import NumberForm

UNKNOWN = "unknown"
"""The word of a choice that was not given."""

EFFORTS = ("setting", "bolt_on", "inside", "goal", "result")
"""What it takes to change an input, the least first; a goal is given up last, a result is never changed."""


@dataclass(frozen=True)
class Axis:
    """One axis of a curve: its word on the wire, dimension and reading."""

    word: str
    dimension: str
    reading: str | None


class Step(NamedTuple):
    """By how much an input is moved when a value is proposed: a number and the spelling of its unit."""

    number: float
    unit: str


class Sizes(NamedTuple):
    """Numbers of one unit that people can buy, for one display system or for both, from the smallest."""

    dimension: str
    system: str | None
    unit: str
    numbers: tuple[float, ...]


class NotQuite(NamedTuple):
    """A word that is refused: the choices it may mean and how they differ, or why there is none."""

    choices: tuple[str, ...]
    difference: str


@dataclass(frozen=True)
class Input:
    """One field of the build spec."""

    path: str
    kind: str
    label: str
    ask: str
    line: int
    reading: str | None = None
    words: dict[str, str] = field(default_factory=dict)
    form: NumberForm | None = None
    usual: dict[str, tuple[float, float]] = field(default_factory=dict)
    usual_source: str | None = None
    steps: dict[str, dict[str, Step]] = field(default_factory=dict)
    stepped_in: dict[str, str] = field(default_factory=dict)
    """The dimension it is bought in, by display system, where that is not the first."""
    effort: str = "bolt_on"
    sizes: tuple[Sizes, ...] = ()
    remedy: str = ""
    possible_count: tuple[int, int] = (0, 0)
    choices: dict[str, str] = field(default_factory=dict)
    choices_from: str | None = None
    unknown: str = ""
    synonyms: dict[str, str] = field(default_factory=dict)
    not_quite: dict[str, NotQuite] = field(default_factory=dict)
    place: str | None = None
    rarely_known: bool = False
    could_mean: dict[str, str] = field(default_factory=dict)
    """By the word that says of which kind a number is (RON), the input it belongs to."""
    taken_in: dict[str, str] = field(default_factory=dict)
    """By display system, the word that goes without saying there."""
    at: tuple[str, ...] = ()
    """The inputs that "340 L/h at 58 psi" fills as well."""
    or_number: tuple[str, ...] = ()
    """Of a choice: the numbers that are given in its place."""
    axes: tuple[Axis, ...] = ()
    points: tuple[int, int] = (2, 50)
    shape: str | None = None
    lists: dict[str, tuple[Axis, ...]] = field(default_factory=dict)
    required: tuple[str, ...] = ()

    @property
    def group(self) -> str:
        return self.path.rpartition(".")[0]

    @property
    def name(self) -> str:
        return self.path.rpartition(".")[2]
