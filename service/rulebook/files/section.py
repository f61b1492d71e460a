"""Reading one entry of a rule file key by key, with errors that name file, line and fix."""

import re
from collections.abc import Callable, Iterable
from difflib import get_close_matches
from typing import NoReturn, TypeVar, overload

from service.errors import Problem, RulebookError
from service.rulebook.files.yaml_file import Entries, Items, Node, Text
from service.units.units import DIMENSIONS, offer, to_si

Default = TypeVar("Default")
Value = TypeVar("Value")
Other = TypeVar("Other")


class _Required:
    """Stands for a default where there is none."""


_REQUIRED = _Required()
READINGS = {"pressure": ("gauge", "absolute", "difference"), "temperature": ("level", "difference")}
WHOLE = re.compile(r"-?[0-9]{1,9}")


class Section:
    """One entry: its keys are taken one after another; a key nobody took is refused at the end.

    A mistake stops the reading of its entry at once, unless the part it is in is read by `attempt`: then the
    other parts are read as well, and `finish` refuses the entry with all that is wrong in it.
    """

    def __init__(self, file: str, name: str, node: object, line: int):
        self.file = file
        self.name = str(name)
        self.line = line
        if not isinstance(node, Entries):
            self.fail("has no keys.", "Indent its `key: value` lines below it.", line)
        self.node: Entries = node
        self.taken: set[str] = set()
        self.problems: list[Problem] = []

    def fail(self, message: str, fix: str, line: int | None = None) -> NoReturn:
        """Refuse the rule file at this place."""
        raise RulebookError([Problem(self.file, line or self.line, f"`{self.name}` {message}", fix)])

    def attempt(self, read: Callable[[], Value], otherwise: Other) -> Value | Other:
        """What `read` gives; a mistake in it is kept for `finish`, and the other parts are read meanwhile."""
        try:
            return read()
        except RulebookError as error:
            self.problems += error.problems
            return otherwise

    def line_of(self, key: str) -> int:
        return self.node.line_of(key)

    def has(self, key: str) -> bool:
        return key in self.node

    @overload
    def take(self, key: str) -> Node: ...
    @overload
    def take(self, key: str, default: Default) -> Node | Default: ...
    def take(self, key: str, default: object = _REQUIRED) -> object:
        """The raw node under a key."""
        self.taken.add(key)
        # A Text key equals the str it is looked up by.
        node = self.node.get(key)  # type: ignore[call-overload]
        if node is not None:
            return node
        if default is _REQUIRED:
            self.fail(f"lacks `{key}`.", f"Add a line `{key}: ...`.")
        return default

    @overload
    def text(self, key: str) -> Text: ...
    @overload
    def text(self, key: str, default: Default) -> Text | Default: ...
    def text(self, key: str, default: object = _REQUIRED) -> object:
        """A scalar."""
        value = self.take(key, default)
        if value is default:
            return value
        if not isinstance(value, Text) or not value:
            self.fail(
                f"needs one piece of text under `{key}`.",
                f"Write `{key}: ...` on one line, in quotes if it holds a colon, a comma or a bracket.",
                self.line_of(key),
            )
        return value

    @overload
    def sentence(self, key: str) -> Text: ...
    @overload
    def sentence(self, key: str, default: Default) -> Text | Default: ...
    def sentence(self, key: str, default: object = _REQUIRED) -> object:
        """A scalar meant for people; inside {...} YAML would cut it at a comma or a question mark."""
        value = self.text(key, default)
        if isinstance(value, Text) and self.node.flow:
            self.fail(
                f"holds the sentence `{key}` inside {{...}}.",
                "Write the entry in block style, one key a line.",
                value.line,
            )
        return value

    @overload
    def one_of(self, key: str, choices: Iterable[str]) -> str: ...
    @overload
    def one_of(self, key: str, choices: Iterable[str], default: Default) -> str | Default: ...
    def one_of(self, key: str, choices: Iterable[str], default: object = _REQUIRED) -> object:
        """A scalar out of a list of words."""
        value = self.text(key, default)
        if value is default:
            return value
        words = list(choices)
        if not isinstance(value, Text) or value not in words:
            self.fail(
                f"has `{key}: {value}`.",
                f"Use one of: {', '.join(words)}.{suggest(str(value), words)}",
                self.line_of(key),
            )
        return str(value)

    @overload
    def items(self, key: str) -> Items: ...
    @overload
    def items(self, key: str, default: Default) -> Items | Default: ...
    def items(self, key: str, default: object = _REQUIRED) -> object:
        """A list."""
        value = self.take(key, default)
        if value is default:
            return value
        if isinstance(value, Text):
            single = Items([value])
            single.line = value.line
            return single
        if not isinstance(value, Items):
            self.fail(f"needs a list under `{key}`.", "Write one `- ` line for each.", self.line_of(key))
        return value

    def words(self, key: str) -> tuple[str, ...]:
        """A list of plain words; empty where the key is not there."""
        return tuple(str(word) for word in self.items(key, ()))

    @overload
    def entries(self, key: str) -> Entries: ...
    @overload
    def entries(self, key: str, default: Default) -> Entries | Default: ...
    def entries(self, key: str, default: object = _REQUIRED) -> object:
        """A mapping."""
        value = self.take(key, default)
        if value is default:
            return value
        if not isinstance(value, Entries):
            self.fail(
                f"needs `name: value` lines under `{key}`.",
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
        line = getattr(text, "line", self.line_of(key))
        phrase = DIMENSIONS[dimension].phrase
        if not isinstance(text, str):
            self.fail(f"needs {phrase} under `{key}`.", f"Write {offer(dimension)}.", line)
        try:
            return to_si(text, dimension)
        except ValueError:
            self.fail(
                f"has `{text}` under `{key}`, which is not {phrase}.", f"Write {offer(dimension)}.", line
            )

    def whole(self, text: object, key: str) -> int:
        """A whole number."""
        if not isinstance(text, str) or not WHOLE.fullmatch(text):
            self.fail(
                f"needs a whole number under `{key}`.",
                "Write digits only, such as 3.",
                getattr(text, "line", self.line_of(key)),
            )
        return int(text)

    def pair(self, key: str) -> Items:
        """A list of just two, low and high."""
        items = self.items(key)
        if len(items) != 2:
            self.fail(
                f"has a `{key}` that is not [low, high].", f"Write `{key}: [low, high]`.", self.line_of(key)
            )
        return items

    def dimension(self) -> str:
        return self.one_of("dimension", DIMENSIONS)

    def reading(self, dimension: str) -> str | None:
        """How a pressure is counted, which has to be given; other dimensions have no readings."""
        if dimension == "pressure" and not self.has("reading"):
            self.fail("is a pressure without a reading.", "Add `reading: gauge`, `absolute` or `difference`.")
        if dimension not in READINGS:
            return None
        return self.one_of("reading", READINGS[dimension], None)

    def finish(self) -> None:
        """Refuse keys that mean nothing here, and whatever `attempt` kept."""
        for key in self.node:
            if key not in self.taken:
                self.problems.append(
                    Problem(
                        self.file,
                        key.line,
                        f"`{self.name}` has the key `{key}`, which is not a known key.",
                        f"Known keys: {', '.join(sorted(self.taken))}.{suggest(key, self.taken)}",
                    )
                )
        if self.problems:
            raise RulebookError(self.problems)


def suggest(word: str, words: Iterable[str]) -> str:
    """' Did you mean `x`?' or nothing."""
    close = get_close_matches(word, list(words), n=1, cutoff=0.6)
    return f" Did you mean `{close[0]}`?" if close else ""


def instead(word: str, words: Iterable[str], otherwise: str) -> str:
    """The known word that was probably meant, or what to do where none is near."""
    return suggest(word, words).strip() or otherwise
