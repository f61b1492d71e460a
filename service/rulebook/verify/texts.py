"""Sentences must always be sayable: placeholders name something, their units fit, a verdict's first sentence is never cut."""

from collections.abc import Iterable

from service.rulebook.draft import Parts, Problems
from service.rulebook.files.section import instead
from service.rulebook.files.text import OWN_WORDS, Placeholder
from service.rulebook.formulas.graph import Graph
from service.rulebook.model import Check, Watch
from service.rulebook.names import at_point, identifier
from service.units.units import DIMENSIONS, find_unit, offer


def verify_texts(parts: Parts, graph: Graph) -> None:
    """Placeholders name something, their unit fits, and each verdict's first sentence can always be said."""
    problems = Problems()
    certain = _Certain(graph, set(parts.constants))
    for check in parts.checks.values():
        sure = (
            {
                point: set().union(*(certain.of(_bound(name, point, parts)) for name in _needed(check)))
                for point in (*check.points, *check.also_at) or (None,)
            }
            if check.judges
            else {}
        )
        for sentences in (*check.text.values(), *(one.text for one in check.contradictions)):
            for number, sentence in enumerate(sentences):
                for gap in sentence.placeholders:
                    complaint = (
                        _own_word(gap, check, parts)
                        if gap.name in OWN_WORDS
                        else _placeholder(gap, check.points, parts)
                    )
                    if complaint:
                        what, mend = complaint
                        problems.add(
                            check.file,
                            sentence.line,
                            f"`{check.id}` has the placeholder `{gap.name}`, which {what}",
                            mend,
                        )
                    elif number == 0 and not check.collects and not _always(gap, parts, sure, certain):
                        problems.add(
                            check.file,
                            sentence.line,
                            f"`{check.id}` says `{gap.name}` in the first sentence of a verdict, but it may be unknown when the check is judged.",
                            "Move it to a later sentence (left out when unknown), or use a name every route needs.",
                        )
    _watches(parts, problems)
    problems.raise_if_any()


def _watches(parts: Parts, problems: Problems) -> None:
    """What is watched has no first sentence: an item that cannot be said in full is left out."""
    for check in parts.checks.values():
        for gap, line in _gaps(check.watch):
            complaint = (
                _watched_word(gap, check, parts)
                if gap.name in OWN_WORDS
                else _placeholder(gap, check.points, parts)
            )
            if complaint:
                problems.add(
                    check.file,
                    line,
                    f"`{check.id}` watches the placeholder `{gap.name}`, which {complaint[0]}",
                    complaint[1],
                )
    for moment in parts.moments.values():
        for gap, line in (found for item in moment.watch for found in _gaps(item)):
            complaint = (
                ("belongs to a check.", "Name a quantity, or move the item into the check.")
                if gap.name in OWN_WORDS
                else _placeholder(gap, (), parts)
            )
            if complaint:
                problems.add(
                    "moments.yaml",
                    line,
                    f"`{moment.name}` watches the placeholder `{gap.name}`, which {complaint[0]}",
                    complaint[1],
                )


def _gaps(watch: Watch | None) -> list[tuple[Placeholder, int]]:
    return (
        [(gap, sentence.line) for sentence in watch.sentences for gap in sentence.placeholders]
        if watch
        else []
    )


def _needed(check: Check) -> set[str]:
    """The names without which a check is not judged: its quantity, and those its limits look at."""
    bounds = [bound for level in check.limits.values() for bound in level]
    return {
        check.judges,
        *(bound.judges for bound in bounds),
        *(bound.quantity for bound in bounds if bound.quantity),
    }


def _sayable(parts: Parts) -> Iterable[str]:
    return [*OWN_WORDS, *parts.choices, *parts.quantities, *parts.inputs, *parts.constants]


def _bound(name: str, point: str | None, parts: Parts) -> str:
    quantity = parts.quantities.get(name)
    return at_point(name, point) if quantity and quantity.at_points and point else identifier(name)


def _own_word(gap: Placeholder, check: Check, parts: Parts) -> tuple[str, str] | None:
    """`value`, `limit`, `margin` and `point` belong to what is judged; a unit fits the first two only."""
    if check.collects:
        return "stands for what a check judges; this one judges nothing.", "Name a quantity."
    if gap.point or (gap.unit and gap.name not in ("value", "limit")):
        return (
            "takes no operating point, and a unit only after `value` and `limit`.",
            f"Write {{{gap.name}}}.",
        )
    judged = {bound.judges for bounds in check.limits.values() for bound in bounds}
    return _unit(gap.unit, [parts.quantities[name].dimension for name in judged])


def _watched_word(gap: Placeholder, check: Check, parts: Parts) -> tuple[str, str] | None:
    """The limit that counted may be one on another quantity, so only the check's own value can be watched."""
    if gap.name in ("limit", "margin"):
        return "is no signal.", "Leave `stop_at` out: it is the fail limit then."
    if gap.name == "value" and check.judges and not gap.point:
        return _unit(gap.unit, [parts.quantities[check.judges].dimension])
    return _own_word(gap, check, parts)


def _unit(unit: str | None, dimensions: Iterable[str]) -> tuple[str, str] | None:
    for dimension in dimensions:
        if unit and find_unit(dimension, unit) is None:
            return (
                f"cannot be said in `{unit}`.",
                f"{DIMENSIONS[dimension].phrase.capitalize()} is {offer(dimension)}.",
            )
    return None


def _placeholder(gap: Placeholder, points: tuple[str, ...], parts: Parts) -> tuple[str, str] | None:
    if gap.name in parts.choices:
        return (
            ("is a choice and has neither unit nor operating point.", f"Write {{{gap.name}}}.")
            if gap.unit or gap.point
            else None
        )
    name = identifier(gap.name)
    quantity = parts.quantities.get(name)
    dimension = quantity.dimension if quantity else _dimension_of(gap.name, parts)
    if dimension is None:
        return "is no name the rules know.", instead(
            gap.name, _sayable(parts), "Name a quantity, an input or a constant."
        )
    if gap.point and gap.point not in parts.points:
        return f"is asked for at `{gap.point}`, which is no operating point.", instead(
            gap.point, parts.points, f"There are {', '.join(parts.points)}."
        )
    if quantity and quantity.at_points and not gap.point and not points:
        return "hangs on operating points.", f"Write {{{gap.name} at {next(iter(parts.points))}}}."
    return _unit(gap.unit, [dimension])


def _dimension_of(name: str, parts: Parts) -> str | None:
    for one in parts.inputs.values():
        for dimension, word in one.words.items():
            if word == name:
                return dimension
    if name in parts.constants:
        return parts.constants[name].dimension
    table, _, column = name.partition(".")
    if table in parts.tables and column in parts.tables[table].columns:
        return parts.tables[table].columns[column].dimension
    if table in ("assumed", "lowest", "highest") and column in parts.assumptions:
        return parts.assumptions[column].dimension
    return None


def _always(gap, parts: Parts, sure: dict[str | None, set[str]], certain: "_Certain") -> bool:
    if gap.name in OWN_WORDS or gap.name in parts.choices or gap.name in parts.constants:
        return True
    return all(
        certain.follows(_bound(gap.name, gap.point or point, parts), names) for point, names in sure.items()
    )


class _Certain:
    """The names that are known whenever a name is known: itself, what all its routes share, and what follows from those."""

    def __init__(self, graph: Graph, facts: set[str]):
        self.graph = graph
        self.facts = facts
        self.memo: dict[str, set[str]] = {}

    def of(self, name: str) -> set[str]:
        if name not in self.memo:
            node = self.graph.nodes.get(name)
            routes = (
                [set().union(*(self.of(used) for used in route.names)) for route in node.routes]
                if node
                else []
            )
            self.memo[name] = {name} | (set.intersection(*routes) if routes else set()) | self._siblings(node)
        return self.memo[name]

    def _siblings(self, node) -> set[str]:
        """One call fills all results of a function step."""
        if node is None or node.quantity.function is None:
            return set()
        return {
            other.id
            for other in self.graph.nodes.values()
            if other.quantity.function is node.quantity.function and other.point == node.point
        }

    def follows(self, name: str, sure: set[str]) -> bool:
        """Whether a name is known once the sure ones are: by a route without guards that reads sure names and facts only."""
        if name in sure or name in self.facts:
            return True
        node = self.graph.nodes.get(name)
        return node is not None and any(
            not (route.route.when or route.route.given or route.route.without or route.route.valid)
            and all(self.follows(used, sure) for used in route.names)
            for route in node.routes
        )
