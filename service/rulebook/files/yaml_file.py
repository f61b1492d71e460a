"""Strict YAML: every scalar stays text, every node knows its line, and the traps of YAML are refused."""

import re
import sys
from pathlib import Path

import yaml

from service.errors import Problem, RulebookError

_ESCAPE = re.compile(r"\\U([0-9A-Fa-f]{8})")


class Text(str):
    """A scalar: always text, with its line."""

    line: int = 0


class Entries(dict):
    """A mapping with the line of each key."""

    line: int = 0
    flow: bool = False

    def line_of(self, key: str) -> int:
        for own in self:
            if own == key:
                return own.line
        return self.line


class Items(list):
    """A list with its line."""

    line: int = 0
    flow: bool = False


class _Trap(Exception):
    """A node that YAML has and rule files do not."""

    def __init__(self, line: int, message: str, mend: str):
        self.problem = (line, message, mend)


class _TextLoader(yaml.SafeLoader):
    """SafeLoader that stops at anchors, aliases and tags; nodes are read as they stand, so `no`, `010` and `1:30` stay text."""

    def compose_node(self, parent, index):
        event = self.peek_event()
        line = event.start_mark.line + 1
        if getattr(event, "anchor", None) is not None:
            raise _Trap(line, "uses an anchor or alias (& or *).", "Write the text out where it is needed.")
        if getattr(event, "tag", None) is not None:
            raise _Trap(line, "uses a tag (!).", "Remove the tag: every scalar is plain text here.")
        return super().compose_node(parent, index)


def read_yaml(path: Path, shown: str) -> Entries:
    """Read one rule file into Entries, or say which line is wrong and how to mend it."""

    def refuse(line: int, message: str, mend: str) -> RulebookError:
        return RulebookError([Problem(shown, line, message, mend)])

    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise refuse(1, "is not UTF-8 text.", "Save it as UTF-8.") from error
    except OSError as error:
        raise refuse(
            1,
            "cannot be read as a file.",
            "Rule files are plain files; a folder or a link to nothing must not be named like one.",
        ) from error
    try:
        documents = list(yaml.compose_all(text, Loader=_TextLoader))
    except _Trap as trap:
        raise refuse(*trap.problem) from trap
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        raise refuse(
            mark.line + 1 if mark else 1,
            f"is not YAML: {error.problem}.",
            "Quote text that holds a colon, a question mark or a comma, and check the indentation.",
        ) from error
    except yaml.reader.ReaderError as error:
        raise refuse(
            text.count("\n", 0, error.position) + 1,
            "holds a control character.",
            "Delete it; rule files are plain text.",
        ) from error
    except (ValueError, OverflowError) as error:
        raise refuse(
            _line_of_escape(text),
            "holds an escape that stands for no character.",
            "Write the character itself.",
        ) from error
    except RecursionError as error:
        raise refuse(1, "is nested too deeply.", "Rule files need at most a handful of levels.") from error
    if len(documents) > 1:
        raise refuse(
            documents[1].start_mark.line,
            "holds a second document.",
            "Remove the line `---`; one file is one mapping.",
        )
    if not documents or not isinstance(documents[0], yaml.MappingNode):
        raise refuse(
            1, "does not hold one mapping of names.", "Start each entry with `name:` at the left margin."
        )
    return _entries(documents[0], refuse)


def _line_of_escape(text: str) -> int:
    """The line of the first \\U escape beyond the last character there is."""
    beyond = next((match for match in _ESCAPE.finditer(text) if int(match[1], 16) > sys.maxunicode), None)
    return text.count("\n", 0, beyond.start()) + 1 if beyond else 1


def _entries(node: yaml.MappingNode, refuse) -> Entries:
    result = Entries()
    result.line = node.start_mark.line + 1
    result.flow = bool(node.flow_style)
    for key_node, value_node in node.value:
        line = key_node.start_mark.line + 1
        if not isinstance(key_node, yaml.ScalarNode):
            raise refuse(line, "has a key that is not a plain name.", "Use a plain name as the key.")
        key = _text(key_node, refuse)
        if key == "<<":
            raise refuse(line, "uses a merge key (<<).", "Write the entries out where they are needed.")
        if key in result:
            raise refuse(
                line,
                f"gives `{key}` twice (first on line {result.line_of(key)}).",
                "Keep one of the two.",
            )
        result[key] = _node(value_node, refuse)
    return result


def _node(node: yaml.Node, refuse):
    if isinstance(node, yaml.MappingNode):
        return _entries(node, refuse)
    if isinstance(node, yaml.SequenceNode):
        items = Items(_node(child, refuse) for child in node.value)
        items.line = node.start_mark.line + 1
        items.flow = bool(node.flow_style)
        return items
    return _text(node, refuse)


def _text(node: yaml.ScalarNode, refuse) -> Text:
    if any("\ud800" <= letter <= "\udfff" for letter in node.value):
        raise refuse(
            node.start_mark.line + 1,
            "holds half of a character (a surrogate).",
            "Write the character itself.",
        )
    text = Text(node.value)
    text.line = node.start_mark.line + 1
    return text
