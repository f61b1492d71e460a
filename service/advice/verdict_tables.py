"""Of each check the verdict of every combination of parts it can tell apart, worked out as columns."""

from dataclasses import dataclass
from itertools import product
from math import prod

import numpy

from service.advice.candidates import Candidate, added
from service.advice.dependence import Dependence
from service.evaluation.evaluate import Evaluator
from service.evaluation.known import Known
from service.evaluation.planning.plan import make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.sweep import sweep

# Combinations worked out for one check before a solution is looked for; a check with more is looked at solution by solution.
MOST_COMBINATIONS = 200_000
UNJUDGED_MARGIN = numpy.inf


@dataclass(slots=True)
class VerdictTable:
    """Verdicts of some checks over the classes of parts of the slots they hang on.

    `classes`: for each slot the class of each candidate. `severity` and `margin`: one array a check, one axis a slot.
    """

    slots: list[str]
    classes: list[list[int]]
    severity: dict[str, numpy.ndarray]
    margin: dict[str, numpy.ndarray]


def verdict_tables(
    evaluator: Evaluator,
    dependence: Dependence,
    known: Known,
    open_slots: dict[str, list[Candidate]],
    checks: tuple[str, ...],
) -> list[VerdictTable]:
    """The tables of the checks asked for; checks that tell the same parts apart share one.

    A check without a table shows in the whole builds: the spec against itself, and one with more than MOST_COMBINATIONS.
    """
    groups: dict[tuple, tuple[list[str], frozenset[str]]] = {}
    for check in checks:
        if evaluator.rulebook.checks[check].collects:
            continue
        paths = dependence.of(check)
        slots = [
            slot
            for slot, parts in open_slots.items()
            if any(path in paths for part in parts for path in part.adds)
        ]
        classes = [_classes(open_slots[slot], paths) for slot in slots]
        if prod(max(own) + 1 for own in classes) > MOST_COMBINATIONS:
            continue
        key = (tuple(slots), tuple(map(tuple, classes)))
        ids, seen = groups.get(key, ([], frozenset()))
        groups[key] = ([*ids, check], seen | paths)
    return [
        _table(evaluator, known, open_slots, list(slots), [list(own) for own in classes], tuple(ids), seen)
        for (slots, classes), (ids, seen) in groups.items()
    ]


def _classes(parts: list[Candidate], paths: frozenset[str]) -> list[int]:
    """Candidates that a check cannot tell apart have the same class."""
    seen: dict[tuple, int] = {}
    return [seen.setdefault(part.seen_by(paths), len(seen)) for part in parts]


def _table(
    evaluator: Evaluator,
    known: Known,
    open_slots: dict[str, list[Candidate]],
    slots: list[str],
    classes: list[list[int]],
    checks: tuple[str, ...],
    paths: frozenset[str],
) -> VerdictTable:
    shape = tuple(max(own) + 1 for own in classes)
    severity = {check: numpy.full(shape, -1) for check in checks}
    margin = {check: numpy.full(shape, UNJUDGED_MARGIN) for check in checks}
    firsts = [
        [open_slots[slot][own.index(number)] for number in range(max(own) + 1)]
        for slot, own in zip(slots, classes)
    ]
    for block in product(*(_signatures(parts, paths) for parts in firsts)):
        _block(evaluator, known, firsts, block, checks, paths, severity, margin)
    return VerdictTable(slots, classes, severity, margin)


def _signatures(parts: list[Candidate], paths: frozenset[str]) -> list[list[int]]:
    """Positions of the candidates that fill the same names and make the same choices, and so share a plan."""
    groups: dict[tuple, list[int]] = {}
    for position, part in enumerate(parts):
        own = added(Known(), part, paths)
        groups.setdefault((*own.key(), repr(own.curves)), []).append(position)
    return list(groups.values())


def _block(
    evaluator: Evaluator,
    known: Known,
    firsts: list[list[Candidate]],
    block: tuple[list[int], ...],
    checks: tuple[str, ...],
    paths: frozenset[str],
    severity: dict,
    margin: dict,
) -> None:
    """All combinations of candidates that share one plan, as columns."""
    base = known
    shape = tuple(len(positions) for positions in block)
    columns: dict[str, numpy.ndarray] = {}
    for axis, (parts, positions) in enumerate(zip(firsts, block)):
        base = added(base, parts[positions[0]], paths)
        own = [added(Known(), parts[position], paths).numbers for position in positions]
        for name in own[0]:
            along = numpy.array([numbers[name] for numbers in own]).reshape(
                [-1 if place == axis else 1 for place in range(len(shape))]
            )
            columns[name] = numpy.broadcast_to(along, shape).ravel()
    plan = make_plan(evaluator.rulebook, Resolution(evaluator.rulebook, base), checks)
    # What is the same for all is run once, as a number.
    varying = {name: column for name, column in columns.items() if (column != column[0]).any()}
    swept = sweep(evaluator, plan, base, varying)
    place, length = numpy.ix_(*block), prod(shape)
    for one, column in zip(plan.checks, swept.checks):
        judged, margins = (
            numpy.broadcast_to(values, (length,)).reshape(shape)
            for values in (column.severity, column.margin)
        )
        severity[one.check.id][place] = judged
        margin[one.check.id][place] = numpy.where(
            judged >= 0, numpy.nan_to_num(margins, nan=0.0), UNJUDGED_MARGIN
        )
