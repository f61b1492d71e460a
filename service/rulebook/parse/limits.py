"""The limits of a check: numbers, quantities, numbers by choice, and guards, each with its source."""

from collections.abc import Mapping

from service.rulebook.check import Bound
from service.rulebook.files.section import Section
from service.rulebook.files.text import Sentence, sentences
from service.rulebook.files.yaml_file import Items, Text
from service.rulebook.names import identifier
from service.rulebook.parse.guards import Choices, parse_guard
from service.rulebook.parse.limit_rows import combinations, row_for, rows_by_choice
from service.rulebook.parse.numbers import Measured, Numbers, limit_number, measured
from service.units.units import DIMENSIONS, offer

LEVELS = ("warn", "fail")


class LimitsReader:
    """Reads the limits of one check."""

    def __init__(self, judges: str, choices: Choices, numbers: Numbers):
        self.judges = judges
        self.choices = choices
        self.numbers = numbers

    def read(self, section: Section) -> dict[str, tuple[Bound, ...]]:
        """`warn:`, `fail:` or both, each one entry or a list of them."""
        limits = {level: self._level(section, level) for level in LEVELS if section.has(level)}
        if not limits:
            section.fail("has no limits.", "Give `warn:`, `fail:` or both.")
        section.finish()
        if len(limits) == len(LEVELS):
            _in_order(section, limits, self.choices)
        return limits

    def _level(self, section: Section, level: str) -> tuple[Bound, ...]:
        if not isinstance(section.node[Text(level)], Items):
            return self._bounds(section.section(level))
        name = f"{section.name}.{level}"
        entries = [
            Section(section.file, name, node, getattr(node, "line", section.line))
            for node in section.items(level)
        ]
        return tuple(bound for entry in entries for bound in self._bounds(entry))

    def _bounds(self, section: Section) -> tuple[Bound, ...]:
        source = str(section.text("source"))
        judges = str(section.text("judges", self.judges))
        judged = measured(section, judges, self.numbers, "judges", section.line_of("judges"))
        text = _text(section)
        bounds = [
            self._bound(section, side, judges, judged, (source, text))
            for side in ("below", "above")
            if section.has(side)
        ]
        if section.has("when"):
            guard = parse_guard(section, "when", self.choices)
            flag = f"{section.name}@{section.line}"
            bounds.append(Bound("when", source, judges, when=guard, text=text, flag=flag))
        if not bounds:
            section.fail(
                "gives neither `below`, `above` nor `when`.",
                "Write `below: 1.2`, `above: 30 deg` or `when: {choice: word}`.",
            )
        section.finish()
        return tuple(bounds)

    def _bound(
        self,
        section: Section,
        side: str,
        judges: str,
        judged: Measured,
        rest: tuple[str, tuple[Sentence, ...]],
    ) -> Bound:
        node = section.take(side)
        source, text = rest
        if not isinstance(node, Text):
            by, rows = rows_by_choice(section, side, judged, self.choices)
            return Bound(side, source, judges, by=by, rows=rows, text=text)
        limit = self.numbers.get(identifier(node))
        if limit is None:
            number = limit_number(section, node, judged, side)
            return Bound(side, source, judges, number=number, text=text)
        if limit.dimension != judged.dimension:
            phrase, other = DIMENSIONS[judged.dimension].phrase, DIMENSIONS[limit.dimension].phrase
            section.fail(
                f"sets {phrase}, `{judges}`, against {other}, `{node}`.",
                f"Name a quantity that is {phrase}, or write {offer(judged.dimension)}.",
                node.line,
            )
        return Bound(side, source, judges, quantity=str(node), text=text)


def _text(section: Section) -> tuple[Sentence, ...]:
    """What is said when this limit counts; without it the text of the level is."""
    return sentences(section, "text") if section.has("text") else ()


def _in_order(section: Section, limits: Mapping[str, tuple[Bound, ...]], choices: Choices) -> None:
    """A warning beyond its own fail could never be given."""
    for warn in limits["warn"]:
        for fail in limits["fail"]:
            if (warn.judges, warn.side) == (fail.judges, fail.side) and _passed(warn, fail, choices):
                line = section.line_of("warn")
                section.fail(
                    f"warns {warn.side} a limit that lies beyond where it fails, so the warning never comes.",
                    "Swap the two, or move one of them.",
                    line,
                )


def _passed(warn: Bound, fail: Bound, choices: Choices) -> bool:
    names = tuple(dict.fromkeys((*warn.by, *fail.by)))
    sign = 1 if warn.side == "above" else -1
    for words in combinations(names, choices):
        chosen = dict(zip(names, words, strict=True))
        ends = [_number_for(bound, chosen) for bound in (warn, fail)]
        if ends[0] is not None and ends[1] is not None and sign * (ends[0] - ends[1]) > 0:
            return True
    return False


def _number_for(bound: Bound, chosen: dict[str, str]) -> float | None:
    if not bound.rows:
        return bound.number
    row = row_for(bound.rows, tuple(chosen[name] for name in bound.by))
    return row.number if row else None
