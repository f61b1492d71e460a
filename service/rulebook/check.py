"""What the rule files say of a check: its limits, guards, examples, and what it is held against."""

from dataclasses import dataclass, field

from service.rulebook.files.text import Sentence
from service.rulebook.files.yaml_file import Node
from service.rulebook.model import Guard


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
    asks_for: str | None = None
    ask: str = ""
    """The question that clears it up, in place of the input's own."""
    reading: str = ""
    """How the build is read all the same, in words."""
    sets_aside: str | None = None
    """The input that is not believed then."""


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
class Figure:
    """A value that people ask for, told with every evaluation where it can be worked out.

    `with_check`: left out where what is not modelled stops this check.
    """

    id: str
    quantity: str
    point: str | None
    with_check: str | None
    label: str | None
    said: bool
    """Whether it is worth saying aloud when nothing is wrong."""


@dataclass(frozen=True)
class Check:
    """One thing that is judged."""

    id: str
    title: str
    short: str
    beyond: str
    """What happens past its limit, to end a sentence with; empty where its noun has to do."""
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
    ask_first: bool = False
    """Whether what it lacks is asked before anything else: where people can be hurt."""

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
