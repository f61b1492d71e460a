"""Sentences with placeholders: `{name}`, `{name in psi}`, `{name at peak_power}`, and those of OWN_WORDS."""

import re
from dataclasses import dataclass

from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Text

_PLACEHOLDER = re.compile(r"\{([^{}]*)\}")
_INSIDE = re.compile(r"([a-z0-9_.]+)(?: in ([^\s{}]+))?(?: at ([a-z0-9_]+))?\Z")

OWN_WORDS = ("value", "limit", "warn_limit", "fail_limit", "margin", "point", "missing")
_DIGITS = re.compile(r"[0-9][0-9.,]*")


@dataclass(frozen=True)
class Placeholder:
    """One gap of a sentence: which name, in which unit, at which operating point."""

    name: str
    unit: str | None
    point: str | None


@dataclass(frozen=True)
class Sentence:
    """Literal text and placeholders in turn."""

    parts: tuple[str | Placeholder, ...]
    line: int

    @property
    def placeholders(self) -> list[Placeholder]:
        return [part for part in self.parts if isinstance(part, Placeholder)]

    @property
    def digits(self) -> list[str]:
        """Numbers typed into the text itself."""
        literal = [part for part in self.parts if isinstance(part, str)]
        return [match[0].rstrip(".,") for part in literal for match in _DIGITS.finditer(part)]


def parse_sentence(text: str, line: int) -> Sentence:
    """Cut a sentence at its placeholders; ValueError for a brace that is not one."""
    parts: list[str | Placeholder] = []
    end = 0
    for gap in _PLACEHOLDER.finditer(text):
        inside = _INSIDE.match(gap[1])
        if not inside:
            raise ValueError(f"has the placeholder `{gap[0]}`, which cannot be read.")
        parts += [text[end : gap.start()], Placeholder(inside[1], inside[2], inside[3])]
        end = gap.end()
    parts.append(text[end:])
    if any(isinstance(part, str) and ("{" in part or "}" in part) for part in parts):
        raise ValueError("has a single brace.")
    return Sentence(tuple(part for part in parts if part != ""), line)


def sentences(section: Section, key: str) -> tuple[Sentence, ...]:
    """The sentences under a key of a rule file, one at least."""
    items = section.items(key)
    if section.node.flow or (items.flow and len(items) > 1):
        section.fail(
            f"holds sentences in brackets under `{key}`, where YAML splits them at every comma.",
            "Write the block in lines, one `- ` line for each sentence.",
            items.line,
        )
    if not items:
        section.fail(f"has no sentence under `{key}`.", "Write one `- ` line for each sentence.", items.line)
    return tuple(sentence(section, text) for text in items)


def sentence(section: Section, text: object) -> Sentence:
    """One sentence of a rule file, its placeholders vetted."""
    if not isinstance(text, Text):
        section.fail(
            "needs sentences in its `text`.",
            "Write each on a `- ` line, in quotes if it holds a colon.",
            getattr(text, "line", section.line),
        )
    try:
        return parse_sentence(text, text.line)
    except ValueError as error:
        section.fail(
            str(error), "Use {name}, {name in psi} or {name at peak_power}; no other braces.", text.line
        )
