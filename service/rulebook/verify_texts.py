"""Sentences must always be sayable: placeholders name something, their units fit, a verdict's first sentence is never cut."""

from collections.abc import Iterable

from service.rulebook.graph import Graph
from service.rulebook.model import Check
from service.rulebook.names import at_point, identifier
from service.rulebook.section import suggest
from service.rulebook.text import OWN_WORDS
from service.rulebook.units import find_unit
from service.rulebook.verify import Parts, Problems


def verify_texts(parts: Parts, graph: Graph) -> None:
    """Placeholders name something, their unit fits, and each verdict's first sentence can always be said."""
    problems = Problems()
    certain = _Certain(graph)
    for check in parts.checks.values():
        sure = {point: certain.of(_bound(check.judges, point, parts)) for point in check.points or (None,)} if check.judges else {}
        for sentences in (*check.text.values(), *(one.text for one in check.contradictions)):
            for number, sentence in enumerate(sentences):
                for gap in sentence.placeholders:
                    complaint = _placeholder(gap, check, parts)
                    if complaint:
                        problems.add(check.file, sentence.line, f"`{check.id}` has the placeholder `{gap.name}`, which {complaint}", suggest(gap.name, _sayable(parts)))
                    elif number == 0 and not check.collects and not _always(gap, parts, sure):
                        problems.add(
                            check.file,
                            sentence.line,
                            f"`{check.id}` says `{gap.name}` in the first sentence of a verdict, but it may be unknown when the check is judged.",
                            "Move it to a later sentence (left out when unknown), or use a name every route needs.",
                        )
    problems.raise_if_any()


def _sayable(parts: Parts) -> Iterable[str]:
    return [*OWN_WORDS, *parts.choices, *parts.quantities, *parts.inputs, *parts.constants]


def _bound(name: str, point: str | None, parts: Parts) -> str:
    quantity = parts.quantities.get(name)
    return at_point(name, point) if quantity and quantity.at_points and point else identifier(name)


def _placeholder(gap, check: Check, parts: Parts) -> str | None:
    if gap.name in OWN_WORDS or gap.name in parts.choices:
        return None
    name = identifier(gap.name)
    quantity = parts.quantities.get(name)
    dimension = quantity.dimension if quantity else _dimension_of(gap.name, parts)
    if dimension is None:
        return "is no name the rules know."
    if gap.unit and find_unit(dimension, gap.unit) is None:
        return f"cannot be said in `{gap.unit}`."
    if gap.point and gap.point not in parts.points:
        return f"names the operating point `{gap.point}`, which is not there."
    if quantity and quantity.at_points and not gap.point and not check.points:
        return "hangs on operating points; write {name at peak_power}."
    return None


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


def _always(gap, parts: Parts, sure: dict[str | None, set[str]]) -> bool:
    if gap.name in OWN_WORDS or gap.name in parts.choices or gap.name in parts.constants:
        return True
    return all(_bound(gap.name, gap.point or point, parts) in names for point, names in sure.items())


class _Certain:
    """The names that are known whenever a name is known: itself, and what all its routes share."""

    def __init__(self, graph: Graph):
        self.graph = graph
        self.memo: dict[str, set[str]] = {}

    def of(self, name: str) -> set[str]:
        if name not in self.memo:
            node = self.graph.nodes.get(name)
            routes = [set().union(*(self.of(used) for used in route.names)) for route in node.routes] if node else []
            self.memo[name] = {name} | (set.intersection(*routes) if routes else set())
        return self.memo[name]
