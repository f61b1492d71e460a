"""spec-consistency: what a spec says twice must agree, what it says once should be believable. Found here,
worded later.
"""

from dataclasses import dataclass
from math import isfinite
from typing import NamedTuple

from service.evaluation.judging.judge import SEVERITY
from service.evaluation.planning.plan import Comparison
from service.evaluation.running.run import OUTSIDE, Run, Values
from service.rulebook.check import Contradiction
from service.rulebook.formulas.graph import Node, RouteNode
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook


@dataclass(frozen=True, slots=True)
class Usual:
    """Between which values an input usually lies."""

    path: str
    label: str
    low: float
    high: float


class RouteValue(NamedTuple):
    """What one route gives."""

    value: float
    route: RouteNode


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two routes to one quantity that lie further apart than rounding explains."""

    verdict: str
    node: Node
    low: RouteValue
    high: RouteValue
    apart: float


@dataclass(frozen=True, slots=True)
class Contradicted:
    """A contradiction of the rulebook that the spec holds."""

    contradiction: Contradiction

    @property
    def verdict(self) -> str:
        return self.contradiction.verdict


@dataclass(frozen=True, slots=True)
class Unusual:
    """A stated number outside what is usual."""

    name: str
    value: float
    usual: Usual
    verdict: str = "warn"


Finding = Disagreement | Contradicted | Unusual


def findings_of(usual: dict[str, Usual], run: Run) -> list[Finding]:
    """Every finding of one run: disagreeing routes, contradictions, unusual values."""
    values, failed = run.figures
    disagreements = [disagreement(comparison, values) for comparison in run.plan.comparisons]
    return [
        *(Contradicted(contradiction) for contradiction in run.plan.set_aside),
        *(finding for finding in disagreements if finding),
        *(
            Contradicted(contradiction)
            for contradiction, slot in run.plan.contradictions
            if slot not in failed and contradicted(contradiction, values[slot])
        ),
        *(
            Unusual(name, value, usual[name])
            for name, value in run.known.numbers.items()
            if run.plan.is_petrol_engine
            and name in usual
            and not usual[name].low <= value <= usual[name].high
        ),
    ]


def worst_verdict(findings: list[Finding]) -> str:
    """The verdict of spec-consistency."""
    return max((finding.verdict for finding in findings), key=SEVERITY.__getitem__, default="pass")


def disagreement(comparison: Comparison, values: Values) -> Disagreement | None:
    """The two routes furthest apart, where that is further than the quantity allows."""
    quantity = comparison.node.quantity
    results = [result for route in comparison.routes if (result := _result(route, values))]
    if len(results) < 2 or quantity.agree_within is None:
        return None
    low = min(results, key=lambda result: result.value)
    high = max(results, key=lambda result: result.value)
    apart = (high.value - low.value) / (max(abs(low.value), abs(high.value)) or 1.0)
    if apart <= quantity.agree_within:
        return None
    verdict = "fail" if quantity.fail_beyond is not None and apart > quantity.fail_beyond else "warn"
    return Disagreement(verdict, comparison.node, low, high, apart)


def _result(route: RouteNode, values: Values) -> RouteValue | None:
    try:
        value = route.call(*route.fetch(values))
    except OUTSIDE:
        return None
    return RouteValue(value, route) if isfinite(value) else None


def contradicted(contradiction: Contradiction, value: float) -> bool:
    """Whether a number lies where it may not."""
    number = contradiction.number
    return value > number if contradiction.side == "above" else value < number


def usual_ranges(rulebook: Rulebook) -> dict[str, Usual]:
    """The usual range of every input that has one, by identifier."""
    return {
        identifier(field.words[dimension]): Usual(field.path, field.label, low, high)
        for field in rulebook.inputs.values()
        for dimension, (low, high) in field.usual.items()
    }
