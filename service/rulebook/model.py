"""What the rule files become: plain records, no behaviour."""

from dataclasses import dataclass
from typing import NamedTuple

from service.rulebook.formulas.formula import Formula


@dataclass(frozen=True)
class Source:
    """A citation and what kind of source it is."""

    id: str
    kind: str
    citation: str


@dataclass(frozen=True)
class Constant:
    """A fixed number with its source."""

    name: str
    label: str
    value: float
    dimension: str
    reading: str | None
    source: str


@dataclass(frozen=True)
class Column:
    """A table column: numbers of one dimension, or words."""

    name: str
    dimension: str | None
    reading: str | None
    choices: tuple[str, ...]
    label: str


@dataclass(frozen=True)
class TableRow:
    """One row of a table: its cells by column."""

    key: str
    label: str
    cells: dict[str, float | str]
    source: str


@dataclass(frozen=True)
class Table:
    """Rows picked by the client's choice; the row `unknown` stands for a choice not given."""

    name: str
    key: str
    label: str
    columns: dict[str, Column]
    rows: dict[str, TableRow]


@dataclass(frozen=True)
class AssumptionRow:
    """What is assumed where choices fit the pattern: typical value and both ends."""

    pattern: tuple[str, ...]
    typical: float
    low: float
    high: float
    source: str


@dataclass(frozen=True)
class Assumption:
    """What is taken when the client did not say: typical, low, high, by choices."""

    name: str
    label: str
    stands_for: str | None
    dimension: str
    reading: str | None
    by: tuple[str, ...]
    rows: tuple[AssumptionRow, ...]
    says: tuple[str, ...] = ()
    """How zero and one read, of an assumption that is a yes or no."""


Guard = dict[str, frozenset[str]]
"""Choice -> the words it may have; `unknown` is the choice not given, RULED_OUT says that nobody is asked
then.
"""

RULED_OUT = "unknown is ruled out"


class Validity(NamedTuple):
    """A pure ratio and the range within which a route holds."""

    ratio: Formula
    low: float
    high: float


@dataclass(frozen=True)
class Route:
    """One way to a quantity: guarded by choices, a formula or a call that fills several names, its range of
    validity.
    """

    formula: Formula
    when: Guard
    given: tuple[str, ...]
    without: tuple[str, ...]
    valid: tuple[Validity, ...]
    source: str
    line: int
    file: str


@dataclass(frozen=True)
class Quantity:
    """Something the service works out."""

    name: str
    label: str
    dimension: str
    reading: str | None
    unit: dict[str, str]
    at_points: bool
    routes: tuple[Route, ...]
    source: str
    agree_within: float | None = None
    fail_beyond: float | None = None
    function: "FunctionStep | None" = None
    position: int = 0
    line: int = 0
    file: str = ""
    digits: int | None = None
    instead_of: str | None = None
    """The input that it works out, where what is said of that input is not to count."""


@dataclass(frozen=True)
class FunctionStep:
    """A registered function whose results are several quantities."""

    function: str
    formula: Formula
    gives: tuple[str, ...]
    when: Guard
    source: str
    together: bool


@dataclass(frozen=True)
class OperatingPoint:
    """Where the engine is judged; its words (speed, boost) become quantities `word__at__point`."""

    name: str
    label: str
    when: Guard
    words: dict[str, tuple[Route, ...]]
    assumed_at_worst: str | None
    line: int


@dataclass(frozen=True)
class Caution:
    """A warning in words; without moments it is printed at all of them."""

    text: str
    moments: tuple[str, ...]
