"""The contradictions of spec-consistency: what a build may say against itself, and how it is cleared up."""

from service.rulebook.check import Contradiction
from service.rulebook.files.section import Section
from service.rulebook.files.text import sentences
from service.rulebook.files.yaml_file import Entries
from service.rulebook.parse.guards import Choices, parse_guard
from service.rulebook.parse.numbers import Numbers, measured


def parse_contradictions(check: Section, choices: Choices, numbers: Numbers) -> tuple[Contradiction, ...]:
    """Each entry below `contradictions:`."""
    entries = check.entries("contradictions", Entries())
    return tuple(
        _parse(Section(check.file, f"{check.name}.{id}", node, id.line), str(id), choices, numbers)
        for id, node in entries.items()
    )


def _parse(entry: Section, id: str, choices: Choices, numbers: Numbers) -> Contradiction:
    quantity = str(entry.text("quantity"))
    judged = measured(entry, quantity, numbers, "looks at", entry.line_of("quantity"))
    side = "above" if entry.has("above") else "below"
    asks_for, sets_aside = entry.text("asks_for", None), entry.text("sets_aside", None)
    if entry.has("ask") and not asks_for:
        entry.fail("asks, but not for which input.", "Add `asks_for:` with its name.", entry.line_of("ask"))
    contradiction = Contradiction(
        id,
        parse_guard(entry, "when", choices),
        quantity,
        side,
        entry.si(entry.text(side), judged.dimension, side),
        entry.one_of("verdict", ("warn", "fail")),
        sentences(entry, "text"),
        str(entry.text("source")),
        asks_for=str(asks_for) if asks_for else None,
        ask=_sentence(entry, "ask"),
        reading=_sentence(entry, "reading"),
        sets_aside=str(sets_aside) if sets_aside else None,
    )
    entry.finish()
    return contradiction


def _sentence(entry: Section, key: str) -> str:
    return str(entry.sentence(key)) if entry.has(key) else ""
