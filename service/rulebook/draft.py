"""A rulebook whose parts have not been held against each other yet, and the problems found while that is
done.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import TypeVar

from service.errors import Problem, RulebookError
from service.rulebook.check import Check, Figure, Moment, ScopeRule
from service.rulebook.files.yaml_file import Entries, Items
from service.rulebook.formulas.kinds import Kind, kind_of
from service.rulebook.input import Input
from service.rulebook.model import Assumption, Caution, Constant, OperatingPoint, Quantity, Source, Table
from service.rulebook.names import ASSUMED, identifier
from service.rulebook.slot import Slot

Read = TypeVar("Read")
_QUOTED = re.compile(r"`([^`]*)`")
_NAME = re.compile(r"[a-z][a-z0-9_.-]*")


@dataclass
class Draft:
    """Everything the rule files say; `raw` holds the files as read, for the lines of problems."""

    inputs: dict[str, Input] = field(default_factory=dict)
    sources: dict[str, Source] = field(default_factory=dict)
    cautions: dict[str, Caution] = field(default_factory=dict)
    display: dict[str, dict[str, str]] = field(default_factory=dict)
    wording: dict[str, dict[str, str]] = field(default_factory=dict)
    constants: dict[str, Constant] = field(default_factory=dict)
    tables: dict[str, Table] = field(default_factory=dict)
    assumptions: dict[str, Assumption] = field(default_factory=dict)
    quantities: dict[str, Quantity] = field(default_factory=dict)
    words: dict[str, Quantity] = field(default_factory=dict)
    points: dict[str, OperatingPoint] = field(default_factory=dict)
    checks: dict[str, Check] = field(default_factory=dict)
    scope: dict[str, ScopeRule] = field(default_factory=dict)
    figures: dict[str, Figure] = field(default_factory=dict)
    slots: dict[str, Slot] = field(default_factory=dict)
    choices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    moments: dict[str, Moment] = field(default_factory=dict)
    raw: dict[str, Entries] = field(default_factory=dict)
    home: dict[str, str] = field(default_factory=dict)

    def line(self, file: str, *path: str | int) -> int:
        """The line of a place in a file, by keys and positions; of the last step that is there."""
        node: object = self.raw[file]
        line = 1
        for step in path:
            if isinstance(node, Entries) and isinstance(step, str) and step in node:
                # A Text key equals the str it is looked up by.
                line, node = node.line_of(step), node[step]  # type: ignore[index]
            elif isinstance(node, Items) and isinstance(step, int):
                node = node[step]
                line = getattr(node, "line", line)
            else:
                break
        return line

    def leaves(self) -> list[str]:
        """Identifiers of everything that comes from outside, the constants, and what guards of checks set."""
        return [*self.kinds(), *(flag for check in self.checks.values() for flag in check.flags)]

    def kinds(self) -> dict[str, Kind]:
        """What each leaf is."""
        kinds: dict[str, Kind] = {}
        for spec in self.inputs.values():
            kinds |= _kinds_of_input(spec)
        for constant in self.constants.values():
            kinds[constant.name] = kind_of(constant.dimension, constant.reading)
        for table in self.tables.values():
            for column in table.columns.values():
                if column.dimension:
                    name = identifier(f"{table.name}.{column.name}")
                    kinds[name] = kind_of(column.dimension, column.reading)
        for assumption in self.assumptions.values():
            for end in ASSUMED:
                name = identifier(f"{end}.{assumption.name}")
                kinds[name] = kind_of(assumption.dimension, assumption.reading)
        return kinds


def _kinds_of_input(spec: Input) -> dict[str, Kind]:
    kinds = {
        identifier(word): kind_of(
            dimension, spec.reading if dimension in ("pressure", "temperature") else None
        )
        for dimension, word in spec.words.items()
    }
    if spec.kind == "curve":
        x, y = (kind_of(axis.dimension, axis.reading) for axis in spec.axes)
        kinds[identifier(spec.path)] = Kind((), None, (x, y), "curve")
    if spec.kind == "map":
        kinds[identifier(spec.path)] = Kind((), None, None, "map")
    return kinds


class Problems:
    """Collects what is wrong in a folder; raised together, in the order of files and lines.

    A mistake that only follows from an entry that could not be read is left out: it goes away with that one.
    """

    def __init__(self) -> None:
        self._all: dict[Problem, None] = {}
        self._dropped: set[str] = set()

    def add(self, file: str, line: int, message: str, fix: str) -> None:
        """A mistake."""
        self._keep([Problem(file, line, message, fix)])

    def keep(self, read: Callable[[], Read], *names: str) -> Read | None:
        """What `read` gives; its mistakes are kept, and the names it would have given are known to be
        missing.
        """
        try:
            return read()
        except RulebookError as error:
            self._keep(error.problems)
            self.drop(names)
            return None

    def drop(self, names: Iterable[str]) -> None:
        """Names that an entry would have given, had it been read."""
        self._dropped.update(str(name) for name in names)

    def _keep(self, problems: list[Problem]) -> None:
        for problem in problems:
            quoted = " ".join(_QUOTED.findall(problem.message))
            if self._dropped.isdisjoint(_NAME.findall(quoted)):
                self._all[problem] = None

    def raise_if_any(self) -> None:
        if self._all:
            raise RulebookError(sorted(self._all, key=lambda problem: (problem.file, problem.line)))
