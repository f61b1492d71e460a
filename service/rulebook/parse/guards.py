"""Guards: under which choices something holds."""

from collections.abc import Mapping

from service.rulebook.files.section import Section, suggest
from service.rulebook.files.yaml_file import Entries, Text
from service.rulebook.input import UNKNOWN
from service.rulebook.model import RULED_OUT, Guard

Choices = dict[str, tuple[str, ...]]
"""Choice name -> its words, without `unknown`."""


def parse_guard(section: Section, key: str, choices: Choices) -> Guard:
    """`{choice: word}`, `{choice: [words]}`, `{choice: {not: [words]}}`; `unknown` is the choice
    not given.
    """
    return guard_of(section, section.entries(key, Entries()), choices)


def guard_of(section: Section, entries: Mapping[Text, object], choices: Choices) -> Guard:
    """The same from entries that have been taken already."""
    return {str(name): _words(section, name, node, choices) for name, node in entries.items()}


def without_asking(guard: Guard) -> Guard:
    """The guard of something that is not looked at, and not asked about, while a choice is not given."""
    return {choice: words | {RULED_OUT} for choice, words in guard.items()}


def _words(section: Section, name: Text, node: object, choices: Choices) -> frozenset[str]:
    if name not in choices:
        section.fail(
            f"guards on `{name}`, which is no choice.",
            f"Guards read choices and flags only.{suggest(name, choices)}",
            name.line,
        )
    universe = (*choices[name], UNKNOWN)
    negated = isinstance(node, Entries) and set(node) == {"not"}
    listed = next(iter(node.values())) if isinstance(node, Entries) and negated else node
    words = [listed] if isinstance(listed, Text) else listed
    if not isinstance(words, list) or not words:
        section.fail(
            f"guards on `{name}` without a word or a list of words.",
            f"Write `{name}: a`, `{name}: [a, b]` or `{name}: {{not: [a]}}`.",
            name.line,
        )
    for word in words:
        if not isinstance(word, Text) or word not in universe:
            section.fail(
                f"guards on `{name}` being `{word}`, which it never is.",
                f"Its words: {', '.join(universe)}.{suggest(str(word), universe)}",
                getattr(word, "line", name.line),
            )
    allowed = frozenset(str(word) for word in words)
    if not negated:
        return allowed
    rest = frozenset(universe) - allowed
    return rest | {RULED_OUT} if UNKNOWN in allowed else rest
