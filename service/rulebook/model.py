"""What the rule files become: plain records, no behaviour."""

from dataclasses import dataclass, field
from typing import NamedTuple

from service.rulebook.files.text import Sentence
from service.rulebook.files.yaml_file import Node
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
class BoundRow:
    """A limit by choices: the words it is for (`*` any), and the number."""

    words: tuple[str, ...]
    number: float


@dataclass(frozen=True)
class Bound:
    """A limit: a number, a quantity, a number by choice, or with the side `when` a guard that is crossed when
    it holds.

    `judges` may name another quantity than the check's own; `text` replaces the level's when this limit
    counts.
    """

    side: str
    source: str
    judges: str
    number: float | None = None
    quantity: str | None = None
    by: tuple[str, ...] = ()
    rows: tuple[BoundRow, ...] = ()
    when: Guard = field(default_factory=dict)
    text: tuple[Sentence, ...] = ()
    flag: str = ""
    """The leaf that is one while a guard does not hold, and zero where it does: what is crossed below one."""


@dataclass(frozen=True)
class Requirement:
    """Choices that have to be made in a certain way, where the guard `when` holds."""

    when: Guard
    choices: Guard


@dataclass(frozen=True)
class Requirements:
    """A yes/no check: what has to be there, the verdict where it is not, and whether not given counts as
    missing.
    """

    each: tuple[Requirement, ...]
    if_missing: str
    silence_is_missing: bool
    source: str
    flag: str
    """The leaf that is one while everything is there, and zero where something is missing."""


@dataclass(frozen=True)
class Outside:
    """What a check is held against outside the project, and the test that does it."""

    against: str
    test: str


@dataclass(frozen=True)
class Example:
    """A worked example: what a client gives, what must come of it, within what share."""

    given: dict[str, Node]
    expect: dict[str, Node]
    within: float
    source: str
    line: int


@dataclass(frozen=True)
class Contradiction:
    """A finding of spec-consistency: a number that may not pass a limit under a guard, and the input that
    would clear it up.
    """

    id: str
    when: Guard
    quantity: str
    side: str
    number: float
    verdict: str
    text: tuple[Sentence, ...]
    source: str
    ask: str | None = None


@dataclass(frozen=True)
class Watch:
    """A signal to watch at some moments: what to expect and where to stop; no stop sentence means the fail
    limit.
    """

    signal: str
    moments: tuple[str, ...]
    expect: Sentence
    stop_at: Sentence | None

    @property
    def sentences(self) -> tuple[Sentence, ...]:
        return (self.expect, self.stop_at) if self.stop_at else (self.expect,)


@dataclass(frozen=True)
class Moment:
    """Where a job stands, and what is watched then whatever the build."""

    name: str
    label: str
    watch: tuple[Watch, ...]


@dataclass(frozen=True)
class AppliesAbove:
    """Something holds only while a quantity, or an input, is above a number."""

    quantity: str
    number: float


@dataclass(frozen=True)
class ScopeRule:
    """Something the rules do not model: when it is there, the checks that cannot be judged then, and what to
    say.
    """

    id: str
    when: Guard
    given: tuple[str, ...]
    above: tuple[AppliesAbove, ...]
    stops: tuple[str, ...]
    keeps: tuple[str, ...] | None
    ask: str | None
    text: str

    @property
    def inputs(self) -> tuple[str, ...]:
        """The inputs that tell it is there."""
        return (*self.when, *self.given, *(guard.quantity for guard in self.above))

    def stops_check(self, check: str) -> bool:
        """Whether a check cannot be judged where this is there."""
        return check not in self.keeps if self.keeps is not None else check in self.stops


@dataclass(frozen=True)
class Caution:
    """A warning in words; without moments it is printed at all of them."""

    text: str
    moments: tuple[str, ...]


@dataclass(frozen=True)
class Check:
    """One thing that is judged."""

    id: str
    title: str
    short: str
    judges: str | None
    points: tuple[str, ...]
    also_at: tuple[str, ...]
    second_look: tuple[str, ...]
    applies_when: Guard
    applies_above: tuple[AppliesAbove, ...]
    otherwise: str | None
    limits: dict[str, tuple[Bound, ...]]
    text: dict[str, tuple[Sentence, ...]]
    levers: dict[str, str]
    cautions: tuple[str, ...]
    examples: tuple[Example, ...]
    held_against: tuple[Outside, ...]
    file: str
    line: int
    requires: Requirements | None = None
    collects: bool = False
    contradictions: tuple[Contradiction, ...] = ()
    shows: tuple[str, ...] = ()
    eased_when: Guard = field(default_factory=dict)
    watch: Watch | None = None
    numbers: tuple[str, ...] = ()

    @property
    def flags(self) -> tuple[str, ...]:
        """The leaves that guards of this check set."""
        flags = (*(bound.flag for bound in self.bounds), self.requires.flag if self.requires else "")
        return tuple(flag for flag in flags if flag)

    @property
    def can_fail(self) -> bool:
        """Whether it can give the verdict fail at all."""
        return (
            "fail" in self.limits
            or self.collects
            or bool(self.requires and self.requires.if_missing == "fail")
        )

    @property
    def bounds(self) -> tuple[Bound, ...]:
        """Every limit of every level."""
        return tuple(bound for level in self.limits.values() for bound in level)
