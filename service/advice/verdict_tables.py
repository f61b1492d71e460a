"""Of each check the verdict of every combination of parts it can tell apart, worked out as columns."""

from dataclasses import dataclass
from itertools import product
from math import prod

import numpy

from service.advice.candidates import Candidate, added
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge_columns import IntColumn
from service.evaluation.known import Known
from service.evaluation.planning.dependence import Dependence
from service.evaluation.planning.plan import make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.running.columns import FloatColumn
from service.evaluation.sweep import sweep

# Combinations worked out for one check before a solution is looked for; a check with more is looked at set by
# set.
MOST_COMBINATIONS = 200_000
UNJUDGED_MARGIN = numpy.inf


@dataclass(slots=True)
class VerdictTable:
    """Verdicts of some checks over the classes of parts of the slots they depend on.

    `classes`: for each slot the class of each candidate. `severity` and `margin`: one array a check, one axis
    a slot.
    """

    slots: list[str]
    classes: list[list[int]]
    severity: dict[str, IntColumn]
    margin: dict[str, FloatColumn]

    @classmethod
    def unjudged(cls, slots: list[str], classes: list[list[int]], checks: list[str]) -> "VerdictTable":
        """A table in which nothing is judged yet."""
        shape = tuple(max(numbers) + 1 for numbers in classes)
        severity = {check: numpy.full(shape, -1) for check in checks}
        margin = {check: numpy.full(shape, UNJUDGED_MARGIN) for check in checks}
        return cls(slots, classes, severity, margin)


@dataclass(slots=True)
class _Group:
    """Checks that tell the same parts apart, and the inputs they see."""

    slots: list[str]
    classes: list[list[int]]
    checks: list[str]
    paths: frozenset[str]


# A selection has too many combinations to try (five slots of fifty parts: 300 million), but a check sees few
# of them. Which inputs a check can depend on is known (dependence.py), and parts that are alike in those are
# one class to it:
#
#     slots the check sees   injectors          fuel pump
#     parts                  A1 A2 A3 B1 B2     P1 P2 P3
#     classes                 0  0  0  1  1      0  1  1     -> a table of 2 x 2 verdicts, not 15
#
# One part stands for its class. Those of a slot that fill the same names and make the same choices share a
# plan, so a table is filled in blocks: one plan and one sweep of columns for each combination of such parts.
# The solver (choice.py) then sees only the tables: a set of parts will do if in every table its classes do.
class TableMaker:
    """Makes the tables for one build and the parts that could fill its open slots."""

    def __init__(
        self,
        evaluator: Evaluator,
        dependence: Dependence,
        known: Known,
        open_slots: dict[str, list[Candidate]],
    ):
        self.evaluator, self.dependence = evaluator, dependence
        self.known, self.open_slots = known, open_slots

    def tables(self, checks: tuple[str, ...]) -> list[VerdictTable]:
        """The tables of the checks asked for; checks that tell the same parts apart share one.

        A check without a table shows in the whole builds: the spec against itself, and one with too many
        combinations.
        """
        groups: dict[tuple[object, ...], _Group] = {}
        for check in checks:
            if self.evaluator.rulebook.checks[check].collects:
                continue
            paths = self.dependence.of(check)
            slots = [slot for slot, parts in self.open_slots.items() if _sees(paths, parts)]
            classes = [_classes(self.open_slots[slot], paths) for slot in slots]
            if prod(max(numbers) + 1 for numbers in classes) > MOST_COMBINATIONS:
                continue
            key = (tuple(slots), tuple(map(tuple, classes)))
            group = groups.setdefault(key, _Group(slots, classes, [], frozenset()))
            group.checks.append(check)
            group.paths |= paths
        return [self._table(group) for group in groups.values()]

    def _table(self, group: _Group) -> VerdictTable:
        table = VerdictTable.unjudged(group.slots, group.classes, group.checks)
        # The first part of each class stands for it.
        firsts = [
            [self.open_slots[slot][numbers.index(number)] for number in range(max(numbers) + 1)]
            for slot, numbers in zip(group.slots, group.classes, strict=True)
        ]
        for block in product(*(_sharing_a_plan(parts, group.paths) for parts in firsts)):
            self._fill(table, group, firsts, block)
        return table

    def _fill(
        self, table: VerdictTable, group: _Group, firsts: list[list[Candidate]], block: tuple[list[int], ...]
    ) -> None:
        """All combinations of candidates that share one plan, as columns."""
        base = self.known
        for parts, positions in zip(firsts, block, strict=True):
            base = added(base, parts[positions[0]], group.paths)
        plan = make_plan(Resolution(self.evaluator.rulebook, base), tuple(group.checks))
        swept = sweep(self.evaluator, plan, base, _varying_columns(group, firsts, block))
        shape = tuple(len(positions) for positions in block)
        place, length = numpy.ix_(*block), prod(shape)
        for check_plan, column in zip(plan.checks, swept.checks, strict=True):
            severity, margin = (
                numpy.broadcast_to(values, (length,)).reshape(shape)
                for values in (column.severity, column.margin)
            )
            known_margin = numpy.nan_to_num(margin, nan=0.0)
            table.severity[check_plan.check.id][place] = severity
            table.margin[check_plan.check.id][place] = numpy.where(
                severity >= 0, known_margin, UNJUDGED_MARGIN
            )


def _sees(paths: frozenset[str], parts: list[Candidate]) -> bool:
    """Whether any part adds an input that is among these."""
    return any(path in paths for part in parts for path in part.adds)


def _classes(parts: list[Candidate], paths: frozenset[str]) -> list[int]:
    """Candidates that a check cannot tell apart have the same class."""
    classes: dict[tuple[object, ...], int] = {}
    return [classes.setdefault(part.seen_by(paths), len(classes)) for part in parts]


def _sharing_a_plan(parts: list[Candidate], paths: frozenset[str]) -> list[list[int]]:
    """Positions of the candidates that fill the same names and make the same choices, and so share a plan."""
    groups: dict[tuple[object, ...], list[int]] = {}
    for position, part in enumerate(parts):
        addition = added(Known(), part, paths)
        groups.setdefault((*addition.key(), repr(addition.curves)), []).append(position)
    return list(groups.values())


def _varying_columns(
    group: _Group, firsts: list[list[Candidate]], block: tuple[list[int], ...]
) -> dict[str, FloatColumn]:
    """The numbers of every combination; what is the same for all is left out and run once, as a number."""
    shape = tuple(len(positions) for positions in block)
    columns: dict[str, FloatColumn] = {}
    for axis, (parts, positions) in enumerate(zip(firsts, block, strict=True)):
        additions = [added(Known(), parts[position], group.paths).numbers for position in positions]
        along_axis = [-1 if place == axis else 1 for place in range(len(shape))]
        for name in additions[0]:
            along = numpy.array([numbers[name] for numbers in additions]).reshape(along_axis)
            columns[name] = numpy.broadcast_to(along, shape).ravel()
    return {name: column for name, column in columns.items() if (column != column[0]).any()}
