"""Reading one entry of a rule file key by key, with errors that name file, line and mend."""

import re
from collections.abc import Iterable
from difflib import get_close_matches
from typing import NoReturn

from service.errors import Problem, RulebookError
from service.rulebook.files.yaml_file import Entries, Items, Text
from service.units.units import DIMENSIONS, offer, to_si

_REQUIRED = object()
READINGS = {"pressure": ("gauge", "absolute", "difference"), "temperature": ("level", "difference")}
WHOLE = re.compile(r"-?[0-9]{1,9}")


class Section:
    """One entry: its keys are taken one after another; a key nobody took is refused at the end."""

    def __init__(self, file: str, name: str, node: object, line: int):
        self.file = file
        self.name = name
        self.line = line
        if not isinstance(node, Entries):
            self.fail("holds no `key: value` lines.", "Indent its keys below it.", line)
        self.node: Entries = node
        self.taken: set[str] = set()

    def fail(self, message: str, mend: str, line: int | None = None) -> NoReturn:
        """Refuse the rule file at this place."""
        raise RulebookError([Problem(self.file, line or self.line, f"`{self.name}` {message}", mend)])

    def line_of(self, key: str) -> int:
        return self.node.line_of(key)

    def has(self, key: str) -> bool:
        return key in self.node

    def take(self, key: str, default: object = _REQUIRED):
        """The raw node under a key."""
        self.taken.add(key)
        if key in self.node:
            return self.node[key]
        if default is _REQUIRED:
            self.fail(f"lacks `{key}`.", f"Add a line `{key}: ...`.")
        return default

    def text(self, key: str, default: object = _REQUIRED) -> Text | None:
        """A scalar."""
        value = self.take(key, default)
        if value is default:
            return value
        if not isinstance(value, Text) or not value:
            self.fail(
                f"wants one piece of text under `{key}`.",
                f"Write `{key}: ...` on one line, in quotes if it holds a colon, a comma or a bracket.",
                self.line_of(key),
            )
        return value

    def sentence(self, key: str, default: object = _REQUIRED) -> Text | None:
        """A scalar meant for people; inside {...} YAML would cut it at a comma or a question mark."""
        value = self.text(key, default)
        if value is not None and self.node.flow:
            self.fail(
                f"holds the sentence `{key}` inside {{...}}.",
                "Write the entry in block style, one key a line.",
                value.line,
            )
        return value

    def one_of(self, key: str, choices: Iterable[str], default: object = _REQUIRED) -> str | None:
        """A scalar out of a list of words."""
        value = self.text(key, default)
        if value is default:
            return value
        if value not in choices:
            self.fail(
                f"has `{key}: {value}`.",
                f"Use one of: {', '.join(choices)}.{suggest(value, choices)}",
                value.line,
            )
        return str(value)

    def items(self, key: str, default: object = _REQUIRED) -> Items:
        """A list."""
        value = self.take(key, default)
        if value is default:
            return value
        if isinstance(value, Text):
            single = Items([value])
            single.line = value.line
            return single
        if not isinstance(value, Items):
            self.fail(f"wants a list under `{key}`.", "Write one `- ` line for each.", self.line_of(key))
        return value

    def entries(self, key: str, default: object = _REQUIRED) -> Entries:
        """A mapping."""
        value = self.take(key, default)
        if value is default:
            return value
        if not isinstance(value, Entries):
            self.fail(
                f"wants `name: value` lines under `{key}`.",
                "Indent one `name: value` line for each below it.",
                self.line_of(key),
            )
        return value

    def section(self, key: str) -> "Section":
        """A mapping, to be taken key by key."""
        value = self.entries(key)
        return Section(self.file, f"{self.name}.{key}", value, self.line_of(key))

    def si(self, text: object, dimension: str, key: str) -> float:
        """A number with its unit, in SI."""
        if not isinstance(text, str):
            self.fail(
                f"wants {DIMENSIONS[dimension].phrase} under `{key}`.",
                f"Write {offer(dimension)}.",
                getattr(text, "line", self.line_of(key)),
            )
        try:
            return to_si(text, dimension)
        except ValueError:
            self.fail(
                f"has `{text}` under `{key}`, which is not {DIMENSIONS[dimension].phrase}.",
                f"Write {offer(dimension)}.",
                getattr(text, "line", self.line_of(key)),
            )

    def whole(self, text: object, key: str) -> int:
        """A whole number."""
        if not isinstance(text, str) or not WHOLE.fullmatch(text):
            self.fail(
                f"wants a whole number under `{key}`.",
                "Write digits only, such as 3.",
                getattr(text, "line", self.line_of(key)),
            )
        return int(text)

    def pair(self, key: str, default: object = _REQUIRED) -> Items:
        """A list of just two, low and high."""
        items = self.items(key, default)
        if items is not default and len(items) != 2:
            self.fail(
                f"has a `{key}` that is not [low, high].", f"Write `{key}: [low, high]`.", self.line_of(key)
            )
        return items

    def dimension(self, key: str = "dimension", default: object = _REQUIRED) -> str | None:
        return self.one_of(key, DIMENSIONS, default)

    def reading(self, dimension: str) -> str | None:
        """How a pressure is counted, which has to be said; other dimensions have no readings to choose from."""
        if dimension == "pressure" and not self.has("reading"):
            self.fail("is a pressure without a reading.", "Add `reading: gauge`, `absolute` or `difference`.")
        if dimension not in READINGS:
            return None
        return self.one_of("reading", READINGS[dimension], None)

    def finish(self) -> None:
        """Refuse keys that mean nothing here."""
        for key in self.node:
            if key not in self.taken:
                self.fail(
                    f"has the key `{key}`, which means nothing here.",
                    f"Known keys: {', '.join(sorted(self.taken))}.{suggest(key, self.taken)}",
                    key.line,
                )


def suggest(word: str, words: Iterable[str]) -> str:
    """' Did you mean `x`?' or nothing."""
    close = get_close_matches(word, list(words), n=1, cutoff=0.6)
    return f" Did you mean `{close[0]}`?" if close else ""


def instead(word: str, words: Iterable[str], otherwise: str) -> str:
    """The known word that was probably meant, or what to do where none is near."""
    return suggest(word, words).strip() or otherwise
