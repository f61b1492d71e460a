"""Every text of the rules and of replies that a customer may read or hear."""

import re
from collections.abc import Iterator

from service.rulebook.files.text import Sentence
from service.rulebook.rulebook import Rulebook

# How a house speaks that nobody else does; each with what is said instead.
BANNED = {
    r"\bmend(s|ed|ing)?\b": "fix",
    r"\bhangs? on\b": "depends on",
    r"\bleans? on\b": "rests on",
    r"\bnought\b": "zero",
    r"\bwanted\b": "needed",
    r"\bwants\b": "needs",
    r"\breckoned\b": "calculated",
    r"\b(was|were|not) said\b": "given",
    r"\bstands\b(?! (in|for)\b)": "takes, is",
    r"\b(is|are|was|been) taken (as|because|at|from)\b": "assumed",
    r"\btaken\.": "assumed",
    r"\bnot stated\b": "not given",
    r"\bdegC\b|\bdegF\b|\bdeg\b|\bN\.m\b": "°C, °F, °, N·m",
}
_BANNED = {re.compile(pattern, re.IGNORECASE): instead for pattern, instead in BANNED.items()}
# Keys of a reply under which people read.
READ_BY_PEOPLE = (
    "ask", "between", "detail", "explanation", "expected", "fix", "headline", "label", "message", "reading",
    "reason", "say", "signal", "stop_at", "text", "title", "why",
)  # fmt: skip


def banned(text: str) -> list[str]:
    """The words of a text that nobody says, each with what to say instead."""
    return [f"{found[0]}: {instead}" for word, instead in _BANNED.items() if (found := word.search(text))]


def count(text: str) -> int:
    """The words of a text, numbers and units among them."""
    return len(text.split())


def literal(sentence: Sentence) -> str:
    """A sentence with a gap shown as one word."""
    return "".join(part if isinstance(part, str) else "{}" for part in sentence.parts)


def rule_texts(rulebook: Rulebook) -> Iterator[tuple[str, str]]:
    """Where each text of the rules stands, and the text."""
    for field in rulebook.inputs.values():
        for text in (field.label, field.ask, field.unknown, field.remedy, *field.choices.values()):
            yield field.path, text
        for near in field.not_quite.values():
            yield field.path, near.difference
    for assumption in rulebook.assumptions.values():
        for text in (assumption.label, *assumption.says):
            yield assumption.name, text
    for name, labelled in (
        *rulebook.tables.items(),
        *rulebook.quantities.items(),
        *rulebook.points.items(),
        *rulebook.slots.items(),
    ):
        yield name, labelled.label
    for table in rulebook.tables.values():
        for key, row in table.rows.items():
            yield f"{table.name}.{key}", row.label
    for name, caution in rulebook.cautions.items():
        yield name, caution.text
    for name, rule in rulebook.scope.items():
        yield name, rule.text
    for moment in rulebook.moments.values():
        for watch in moment.watch:
            for text in (watch.signal, *map(literal, watch.sentences)):
                yield moment.name, text
    for check in rulebook.checks.values():
        for text in (check.title, check.short, check.beyond, check.otherwise or ""):
            yield check.id, text
        for sentences in (*check.text.values(), *(bound.text for bound in check.bounds)):
            for sentence in sentences:
                yield check.id, literal(sentence)
        for contradiction in check.contradictions:
            for text in (contradiction.ask, contradiction.reading, *map(literal, contradiction.text)):
                yield contradiction.id, text


def reply_texts(node: object) -> Iterator[str]:
    """Every text of a reply that people read."""
    if isinstance(node, dict):
        for key, value in node.items():
            if isinstance(value, str) and key in READ_BY_PEOPLE:
                yield value
            elif key in ("cautions",) and isinstance(value, list):
                yield from value
            elif key not in ("working", "understood"):
                yield from reply_texts(value)
    elif isinstance(node, list):
        for value in node:
            yield from reply_texts(value)
