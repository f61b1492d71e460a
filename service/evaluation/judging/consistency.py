"""spec-consistency: what a spec says twice must agree, what it says once should be believable."""

from dataclasses import dataclass
from math import isfinite

from service.evaluation.known import Known
from service.evaluation.planning.plan import Comparison, Plan
from service.evaluation.reporting.doubt import lower
from service.evaluation.reporting.sentences import Writer, say
from service.rulebook.names import identifier, shown
from service.rulebook.rulebook import Rulebook


@dataclass(slots=True)
class Finding:
    """Something in the spec that does not agree with the rest of it, or with what is usual."""

    kind: str
    verdict: str
    names: list[str]
    text: str
    ask: str | None = None


@dataclass(frozen=True, slots=True)
class Usual:
    """Between which values an input usually lies."""

    path: str
    label: str
    low: float
    high: float


def findings(
    rulebook: Rulebook,
    writer: Writer,
    usual: dict[str, Usual],
    plan: Plan,
    known: Known,
    values: list,
    failed: dict[int, int],
    system: str,
) -> list[Finding]:
    """Every finding of one run: disagreeing routes, unusual values, contradictions."""
    found = []
    for comparison in plan.comparisons:
        made = _disagreement(rulebook, writer, comparison, values, failed, system)
        if made:
            found.append(made)
    for one, slot in plan.contradictions:
        if slot not in failed and (
            values[slot] > one.number if one.side == "above" else values[slot] < one.number
        ):
            prepared = [writer.prepare(sentence, plan, None, one.quantity, system) for sentence in one.text]
            found.append(
                Finding(
                    "contradiction", one.verdict, [one.quantity], say(prepared, values, failed, None), one.ask
                )
            )
    for name in known.numbers:
        if name in usual:
            found += _unusual(writer, name, known.numbers[name], usual[name], system)
    return found


def _disagreement(
    rulebook: Rulebook,
    writer: Writer,
    comparison: Comparison,
    values: list,
    failed: dict[int, int],
    system: str,
) -> Finding | None:
    quantity = comparison.node.quantity
    results = []
    for route in comparison.routes:
        try:
            value = route.call(*route.fetch(values))
        except (ZeroDivisionError, ValueError, OverflowError):
            continue
        if isfinite(value):
            results.append((value, route))
    if len(results) < 2:
        return None
    (low, low_route), (high, high_route) = min(results, key=lambda r: r[0]), max(results, key=lambda r: r[0])
    spread = (high - low) / (max(abs(low), abs(high)) or 1.0)
    if spread <= quantity.agree_within:
        return None
    shower = writer.shower_of(comparison.node.id, system)
    verdict = "fail" if quantity.fail_beyond is not None and spread > quantity.fail_beyond else "warn"
    names = sorted({*_inputs(rulebook, low_route.names), *_inputs(rulebook, high_route.names)})
    text = (
        f"{quantity.label} is {shower.text(low)} by {_by(rulebook, low_route)} and {shower.text(high)} by {_by(rulebook, high_route)}: "
        f"{100 * spread:.1f} % apart, more than the {100 * quantity.agree_within:g} % that rounding explains."
    )
    return Finding("disagreement", verdict, names, text)


def _inputs(rulebook: Rulebook, names: tuple[str, ...]) -> list[str]:
    return [shown(name) for name in names if shown(name) in rulebook.inputs]


def _by(rulebook: Rulebook, route) -> str:
    words = []
    for name in route.names:
        path = shown(name)
        if path in rulebook.inputs:
            words.append(lower(rulebook.inputs[path].label))
        elif name in rulebook.graph.nodes:
            words.append(lower(rulebook.graph.nodes[name].quantity.label))
    return " and ".join(words[:3])


def _unusual(writer: Writer, name: str, value: float, usual: Usual, system: str) -> list[Finding]:
    if usual.low <= value <= usual.high:
        return []
    shower = writer.shower_of(name, system)
    text = f"{usual.label} of {shower.text(value)} is outside the usual {shower.text(usual.low)} to {shower.text(usual.high)}."
    return [Finding("unusual", "warn", [usual.path], text)]


def usual_ranges(rulebook: Rulebook) -> dict[str, Usual]:
    """The usual range of every input that has one, by identifier."""
    return {
        identifier(one.words[dimension]): Usual(one.path, one.label, low, high)
        for one in rulebook.inputs.values()
        for dimension, (low, high) in one.usual.items()
    }
