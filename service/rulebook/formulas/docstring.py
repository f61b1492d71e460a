"""What a numpydoc docstring says of arguments and results, which is the only place where that stands."""

import inspect
import re
from collections.abc import Callable
from typing import Any, NamedTuple

_ENTRY = re.compile(r"(?P<name>\w+) : (?P<words>[^\[]*?)(?: \[(?P<unit>[^\]]+)\])?")
_SECTION = re.compile(r"^(?P<title>\w+)\n-+\n", re.MULTILINE)


class Entry(NamedTuple):
    """One argument or result: its name, what it is in words, and its unit where it has one."""

    name: str
    words: str
    unit: str | None


def entries(function: Callable[..., Any], title: str) -> list[Entry]:
    """The entries of a section, such as Parameters or Returns; none where there is no such section."""
    return [
        Entry(match["name"], match["words"], match["unit"])
        for line in sections(function).get(title, "").splitlines()
        if (match := _ENTRY.fullmatch(line))
    ]


def sections(function: Callable[..., Any]) -> dict[str, str]:
    """The text of each section by its title; what stands before the first has none."""
    parts = _SECTION.split(inspect.getdoc(function) or "")
    return {"": parts[0]} | dict(zip(parts[1::2], parts[2::2], strict=True))


def page(function: Callable[..., Any]) -> str:
    """The docstring without its examples, which are for those who read the code."""
    return (inspect.getdoc(function) or "").partition("\nExamples\n---")[0].strip()
