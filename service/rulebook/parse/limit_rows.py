"""Limits that go by choices: rows, a short form for one choice, and a grid for two."""

from itertools import product
from typing import NamedTuple, NoReturn

from service.rulebook.check import BoundRow
from service.rulebook.files.section import Section, instead, suggest
from service.rulebook.files.yaml_file import Entries, Items, Text
from service.rulebook.input import UNKNOWN
from service.rulebook.parse.guards import Choices
from service.rulebook.parse.numbers import Measured, limit_number

ANY = "*"


def rows_by_choice(
    section: Section, key: str, judged: Measured, choices: Choices
) -> tuple[tuple[str, ...], tuple[BoundRow, ...]]:
    """`{by: usage, street: 1.25, unknown: 1.25}`, `{by: [a, b], rows: [[x, y, 1.25], ...]}`, or a grid."""
    node = section.take(key)
    if not isinstance(node, Entries) or "by" not in node:
        section.fail(
            f"has a `{key}` that is neither a number nor a list by choice.",
            "Write `{by: usage, street: 1.25, unknown: 1.25}`.",
            section.line_of(key),
        )
    entry = Section(section.file, section.name, node, node.line)
    by = entry.items("by")
    for name in by:
        if not isinstance(name, Text) or name not in choices:
            section.fail(
                f"has a limit by `{name}`, which is no choice.",
                instead(str(name), choices, "Go by a choice or a flag of inputs.yaml."),
                getattr(name, "line", node.line),
            )
    names = tuple(str(name) for name in by)
    if entry.has("grid"):
        cells = _grid(entry, names)
    elif entry.has("rows"):
        cells = [_row(entry, row) for row in entry.items("rows")]
    else:
        cells = [_Cell((str(word),), value, word.line) for word, value in node.items() if word != "by"]
        entry.taken.update(str(word) for word in node)
    entry.finish()
    table = _RowTable(section, names, choices)
    rows = tuple(
        BoundRow(table.words(cell), limit_number(section, cell.limit, judged, key)) for cell in cells
    )
    table.complete(rows, node.line)
    return names, rows


class _Cell(NamedTuple):
    """One limit with the words it is for."""

    words: tuple[str, ...]
    limit: object
    line: int


def _row(section: Section, row: object) -> _Cell:
    if not isinstance(row, Items) or not row or not all(isinstance(cell, Text) for cell in row[:-1]):
        line = getattr(row, "line", section.line)
        section.fail("has a row that is not `[choices..., limit]`.", "Write `- [a, b, 1.25]`.", line)
    return _Cell(tuple(str(word) for word in row[:-1]), row[-1], row.line)


def _grid(section: Section, by: tuple[str, ...]) -> list[_Cell]:
    """Limits by two choices: `grid` heads the columns, `rows` has a line for each word of the first."""
    heads = section.items("grid")
    unit = str(section.text("unit", ""))
    rows = section.entries("rows")
    if len(by) != 2:
        section.fail("has a `grid` for other than two choices.", "Write `by: [first, second]`.")
    cells = []
    for word, row in rows.items():
        if not isinstance(row, Items) or len(row) != len(heads):
            section.fail(
                f"has a grid row `{word}` that does not fill its {len(heads)} columns.",
                f"Write `{word}: [{', '.join('1.25' for _ in heads)}]`.",
                word.line,
            )
        for head, limit in zip(heads, row, strict=True):
            text = Text(f"{limit} {unit}".strip())
            text.line = word.line
            cells.append(_Cell((str(word), str(head)), text, word.line))
    return cells


class _RowTable:
    """Holds the rows of a limit by choice against the words there are."""

    def __init__(self, section: Section, by: tuple[str, ...], choices: Choices):
        self.section = section
        self.by = by
        self.choices = choices

    def words(self, cell: _Cell) -> tuple[str, ...]:
        """The words of a row, each one that its choice has."""
        if len(cell.words) != len(self.by):
            self._fail(
                f"has a row with {len(cell.words)} choices for {len(self.by)} names.",
                f"Write [{', '.join(self.by)}, limit].",
                cell.line,
            )
        for name, word in zip(self.by, cell.words, strict=True):
            if word != ANY and word not in (*self.choices[name], UNKNOWN):
                words = self.choices[name]
                self._fail(
                    f"has a limit for `{name}` being `{word}`, which it never is.",
                    f"Its words: {', '.join(words)}, unknown.{suggest(word, words)}",
                    cell.line,
                )
        return cell.words

    def complete(self, rows: tuple[BoundRow, ...], line: int) -> None:
        """Whatever a client says or leaves out, one row is for it."""
        for position, name in enumerate(self.by):
            if not any(row.words[position] in (UNKNOWN, ANY) for row in rows):
                self._fail(
                    f"has no limit for an unknown `{name}`.",
                    "Add a row `unknown:` with the limit to use when it was not given.",
                    line,
                )
        for words in combinations(self.by, self.choices):
            if row_for(rows, words) is None:
                missing = ", ".join(
                    f"`{name}` being `{word}`" for name, word in zip(self.by, words, strict=True)
                )
                self._fail(f"has no limit for {missing}.", "Add a row for it; `*` matches every word.", line)

    def _fail(self, message: str, fix: str, line: int) -> NoReturn:
        self.section.fail(message, fix, line)


def combinations(by: tuple[str, ...], choices: Choices) -> list[tuple[str, ...]]:
    """Every combination of words that some choices can have, not given included."""
    return list(product(*((*choices[name], UNKNOWN) for name in by)))


def row_for(rows: tuple[BoundRow, ...], words: tuple[str, ...]) -> BoundRow | None:
    """The first row that is for these words."""
    for row in rows:
        if all(own in (ANY, word) for own, word in zip(row.words, words, strict=True)):
            return row
    return None
