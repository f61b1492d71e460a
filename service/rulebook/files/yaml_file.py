"""Strict YAML: every scalar stays text, every node knows its line, and the traps of YAML are refused."""

import re
import sys
from collections.abc import Iterator
from pathlib import Path
from stat import S_ISREG
from typing import NoReturn

import yaml

from service.errors import Problem, RulebookError

_SURROGATE = re.compile("[\ud800-\udfff]")
_ESCAPE = re.compile(r"\\U([0-9A-Fa-f]{8})")
# libyaml where PyYAML was built with it, ten times as fast; the same events either way.
_PARSER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
# Rule files need a handful of levels; the parser itself would go on until the stack ends.
DEEPEST = 60
# A dozen times the longest of ours.
MOST_BYTES = 1_000_000
_FORGOTTEN_COLON = ("mapping values are not allowed", "could not find expected ':'")


class Text(str):
    """A scalar: always text, with its line."""

    __slots__ = ("line",)
    line: int

    def __new__(cls, value: str = "", line: int = 0) -> "Text":
        text = super().__new__(cls, value)
        text.line = line
        return text


class Entries(dict[Text, "Node"]):
    """A mapping with the line of each key."""

    line: int = 0
    flow: bool = False

    def line_of(self, key: str) -> int:
        for known in self:
            if known == key:
                return known.line
        return self.line


class Items(list["Node"]):
    """A list with its line."""

    line: int = 0
    flow: bool = False


Node = Text | Entries | Items


def read_yaml(path: Path, shown: str) -> Entries:
    """Read one rule file into Entries, or say which line is wrong and how to fix it."""
    return _Reader(shown).read(path)


class _Reader:
    """Builds the nodes of one file from the parser's events."""

    def __init__(self, shown: str):
        self.shown = shown
        self.events: Iterator[yaml.Event] = iter(())

    def refuse(self, line: int, message: str, fix: str) -> NoReturn:
        raise RulebookError([Problem(self.shown, line, message, fix)])

    def read(self, path: Path) -> Entries:
        text = self._text_of(path)
        try:
            self.events = iter(yaml.parse(text, Loader=_PARSER))
            return self._document()
        except yaml.MarkedYAMLError as error:
            self._refuse_syntax(text, error)
        except yaml.reader.ReaderError as error:
            line = text.count("\n", 0, error.position) + 1
            self.refuse(line, "holds a control character.", "Delete it; rule files are plain text.")
        except (ValueError, OverflowError):
            line = _line_of_escape(text)
            self.refuse(line, "holds an escape that means no character.", "Write the character itself.")
        except RecursionError:
            self.refuse(1, "is nested too deeply.", "Rule files need at most a handful of levels.")

    def _text_of(self, path: Path) -> str:
        try:
            found = path.stat()
            if S_ISREG(found.st_mode) and found.st_size > MOST_BYTES:
                self.refuse(
                    1, f"has {found.st_size:,} bytes; a rule file has at most {MOST_BYTES:,}.", "Split it."
                )
            if not S_ISREG(found.st_mode):
                # Reading a pipe waits for ever, reading a device never ends.
                raise OSError
            return path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            self.refuse(1, "is not UTF-8 text.", "Save it as UTF-8.")
        except OSError:
            self.refuse(
                1,
                "cannot be read as a file.",
                "Rule files are plain files; a folder or a link to nothing must not be named like one.",
            )

    def _refuse_syntax(self, text: str, error: yaml.MarkedYAMLError) -> NoReturn:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark else 1
        problem = str(error.problem)
        lines = text.splitlines()
        if line <= len(lines) and "\t" in _indent(lines[line - 1]):
            self.refuse(line, "is indented with a tab.", "Use spaces.")
        forgotten = _line_without_colon(lines, line) if problem.startswith(_FORGOTTEN_COLON) else None
        if forgotten:
            name = lines[forgotten - 1].split()[0]
            self.refuse(forgotten, f"has no colon after `{name[:40]}`.", f"Write `{name[:40]}: ...`.")
        self.refuse(
            line,
            f"is not YAML: {problem}.",
            "Quote text that holds a colon, a question mark or a comma, and check the indentation.",
        )

    def _document(self) -> Entries:
        root: Node | None = None
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent) and root is not None:
                self.refuse(
                    _line(event),
                    "holds a second document.",
                    "Remove the line `---`; one file is one mapping.",
                )
            elif isinstance(event, yaml.NodeEvent):
                root = self._node(event, 1)
        if not isinstance(root, Entries):
            self.refuse(
                1, "does not hold one mapping of names.", "Start each entry with `name:` at the left margin."
            )
        return root

    def _node(self, event: yaml.Event, depth: int) -> Node:
        line = _line(event)
        if depth > DEEPEST:
            self.refuse(line, "is nested too deeply.", "Rule files need at most a handful of levels.")
        if getattr(event, "anchor", None) is not None:
            self.refuse(line, "uses an anchor or alias (& or *).", "Write the text out where it is needed.")
        if getattr(event, "tag", None) is not None:
            self.refuse(line, "uses a tag (!).", "Remove the tag: every scalar is plain text here.")
        if isinstance(event, yaml.MappingStartEvent):
            return self._entries(event, depth)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._items(event, depth)
        assert isinstance(event, yaml.ScalarEvent)
        return self._text(event)

    def _entries(self, start: yaml.MappingStartEvent, depth: int) -> Entries:
        entries = Entries()
        entries.line, entries.flow = _line(start), bool(start.flow_style)
        for event in self.events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            key = self._key(event, depth)
            if key in entries:
                first = entries.line_of(key)
                self.refuse(key.line, f"gives `{key}` twice (first on line {first}).", "Keep one of the two.")
            entries[key] = self._node(next(self.events), depth + 1)
        return entries

    def _key(self, event: yaml.Event, depth: int) -> Text:
        key = self._node(event, depth + 1)
        if not isinstance(key, Text):
            self.refuse(key.line, "has a key that is not a plain name.", "Use a plain name as the key.")
        if key == "<<":
            self.refuse(key.line, "uses a merge key (<<).", "Write the entries out where they are needed.")
        return key

    def _items(self, start: yaml.SequenceStartEvent, depth: int) -> Items:
        items = Items()
        items.line, items.flow = _line(start), bool(start.flow_style)
        for event in self.events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            items.append(self._node(event, depth + 1))
        return items

    def _text(self, event: yaml.ScalarEvent) -> Text:
        line = _line(event)
        if _SURROGATE.search(event.value):
            self.refuse(line, "holds half of a character (a surrogate).", "Write the character itself.")
        return Text(event.value, line)


def _line(event: yaml.Event) -> int:
    return event.start_mark.line + 1 if event.start_mark else 1


def _indent(line: str) -> str:
    return line[: len(line) - len(line.lstrip())]


def _line_without_colon(lines: list[str], line: int) -> int | None:
    """The line before a complaint that starts an entry and has no colon: `title Oil pressure`, `warn`."""
    for number in range(min(line, len(lines)), 0, -1):
        content = lines[number - 1].split(" #")[0].strip()
        if content and not content.startswith(("#", "-")):
            if ":" not in content:
                return number
            if number != line:
                return None
    return None


def _line_of_escape(text: str) -> int:
    """The line of the first \\U escape beyond the last character there is."""
    beyond = next((match for match in _ESCAPE.finditer(text) if int(match[1], 16) > sys.maxunicode), None)
    return text.count("\n", 0, beyond.start()) + 1 if beyond else 1
