"""What the rule files become: plain records, no behaviour."""

from dataclasses import dataclass, field

from service.rulebook.files.text import Sentence
from service.rulebook.formulas.formula import Formula


@dataclass(frozen=True)
class Source:
    """A citation and what kind of source it is."""

    id: str
    kind: str
    citation: str


@dataclass(frozen=True)
class Constant:
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
"""Choice -> the words it may have; `unknown` is the choice not given, RULED_OUT says that not given settles it too."""

RULED_OUT = "unknown is ruled out"


@dataclass(frozen=True)
class Route:
    """One way to a quantity: guarded by choices, a formula or a call that fills several names, its range of validity."""

    formula: Formula
    when: Guard
    given: tuple[str, ...]
    without: tuple[str, ...]
    valid: tuple[tuple[Formula, float, float], ...]
    source: str
    line: int
    file: str


@dataclass(frozen=True)
class Result:
    """One name that a function step fills."""

    name: str
    result: str


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
    """Where the engine is judged; its words (speed, boost ...) are compiled as quantities `word__at__point`."""

    name: str
    label: str
    when: Guard
    words: dict[str, tuple[Route, ...]]
    assumed_at_worst: str | None
    line: int


@dataclass(frozen=True)
class Bound:
    """A limit: a number, a quantity, or a number by choice; `judges` names another quantity than the check's own."""

    side: str
    number: float | None
    quantity: str | None
    by: tuple[str, ...]
    rows: tuple[tuple[tuple[str, ...], float], ...]
    source: str
    judges: str


@dataclass(frozen=True)
class Example:
    given: dict
    expect: dict
    within: float
    source: str
    line: int


@dataclass(frozen=True)
class Contradiction:
    """A finding of spec-consistency: a number that may not pass a limit under a guard, and the input that would clear it up."""

    id: str
    when: Guard
    quantity: str
    side: str
    number: float
    verdict: str
    text: object
    source: str
    ask: str | None = None


@dataclass(frozen=True)
class Watch:
    """A signal to watch at some moments: what to expect and where to stop; no stop sentence means the fail limit."""

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
class Caution:
    """A warning in words; without moments it is printed at all of them."""

    text: str
    moments: tuple[str, ...]


@dataclass(frozen=True)
class Check:
    """One thing that is judged."""

    id: str
    title: str
    judges: str | None
    points: tuple[str, ...]
    also_at: tuple[str, ...]
    second_look: tuple[str, ...]
    applies_when: Guard
    applies_above: tuple[tuple[str, float], ...]
    otherwise: str | None
    limits: dict[str, tuple[Bound, ...]]
    text: dict[str, tuple]
    levers: dict[str, str]
    cautions: tuple[str, ...]
    examples: tuple[Example, ...]
    file: str
    line: int
    collects: bool = False
    contradictions: tuple[Contradiction, ...] = ()
    shows: tuple[str, ...] = ()
    eased_when: Guard = field(default_factory=dict)
    watch: Watch | None = None
