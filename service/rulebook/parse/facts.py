"""The plain facts of a rulebook: sources, constants, tables, assumptions, cautions, display units."""

from service.rulebook.files.section import Section, instead
from service.rulebook.files.yaml_file import Entries, Items
from service.rulebook.model import (
    Assumption,
    AssumptionRow,
    Caution,
    Column,
    Constant,
    Source,
    Table,
    TableRow,
)
from service.units.units import DIMENSIONS

SOURCE_KINDS = (
    "standard",
    "regulation",
    "book",
    "paper",
    "definition",
    "common practice",
    "from memory",
    "house choice",
    "own model",
    "worked by hand",
    "regression pin",
)


def parse_sources(entries: Entries, file: str) -> dict[str, Source]:
    sources = {}
    for id in entries:
        section = Section(file, id, entries[id], id.line)
        sources[str(id)] = Source(
            str(id), str(section.one_of("kind", SOURCE_KINDS)), str(section.sentence("citation"))
        )
        section.finish()
    return sources


def parse_cautions(entries: Entries, file: str) -> dict[str, Caution]:
    cautions = {}
    for id in entries:
        section = Section(file, id, entries[id], id.line)
        cautions[str(id)] = Caution(
            str(section.sentence("text")), tuple(str(moment) for moment in section.items("moments", ()))
        )
        section.finish()
    return cautions


def parse_display(entries: Entries, file: str) -> dict[str, dict[str, str]]:
    """Dimension -> system -> unit shown, plus `digits`."""
    display = {}
    for dimension in entries:
        section = Section(file, dimension, entries[dimension], dimension.line)
        if dimension not in DIMENSIONS:
            section.fail(
                "is no dimension.", instead(dimension, DIMENSIONS, "Use the dimensions of units.py.")
            )
        display[str(dimension)] = {key: str(section.take(key)) for key in ("metric", "us", "digits")}
        section.finish()
        section.whole(display[dimension]["digits"], "digits")
        for system in ("metric", "us"):
            section.si(f"1 {display[dimension][system]}".strip(), dimension, system)
    return display


def parse_constants(entries: Entries, file: str) -> dict[str, Constant]:
    constants = {}
    for name in entries:
        section = Section(file, name, entries[name], name.line)
        dimension = str(section.dimension())
        constants[str(name)] = Constant(
            str(name),
            str(section.text("label")),
            section.si(section.text("value"), dimension, "value"),
            dimension,
            section.reading(dimension),
            str(section.text("source")),
        )
        section.finish()
    return constants


def parse_table(name: str, entries: Entries, file: str) -> Table:
    section = Section(file, name, entries, 1)
    keys = section.items("key")
    if len(keys) != 1:
        section.fail("has other than one key.", "Write `key: [input]`.", section.line_of("key"))
    columns = {
        str(column): _column(Section(file, column, node, column.line))
        for column, node in section.entries("columns").items()
    }
    rows = {}
    for key, node in section.entries("rows").items():
        row = Section(file, f"{name}.{key}", node, key.line)
        cells: dict[str, float | str] = {}
        for column in columns.values():
            if row.has(column.name):
                cells[column.name] = _cell(row, column)
        row.taken.update(columns)
        rows[str(key)] = TableRow(
            str(key), str(row.text("label", key.replace("_", " "))), cells, str(row.text("source"))
        )
        row.finish()
    if "unknown" not in rows:
        section.fail(
            "lacks the row `unknown`.",
            "Add a row `unknown:` that says what holds when the choice is not given; it may be empty but for its source.",
            section.line_of("rows"),
        )
    table = Table(name, str(keys[0]), str(section.text("label")), columns, rows)
    section.finish()
    return table


def _column(section: Section) -> Column:
    choices = tuple(str(choice) for choice in section.items("choices", ()))
    dimension = None if choices else str(section.dimension())
    column = Column(
        str(section.name),
        dimension,
        None if choices else section.reading(dimension),
        choices,
        str(section.text("label")),
    )
    section.finish()
    return column


def _cell(row: Section, column: Column) -> float | str:
    if column.choices:
        return str(row.one_of(column.name, column.choices))
    return row.si(row.text(column.name), column.dimension, column.name)


def parse_assumptions(entries: Entries, file: str) -> dict[str, Assumption]:
    assumptions = {}
    for name in entries:
        section = Section(file, name, entries[name], name.line)
        by = tuple(str(choice) for choice in section.items("by", ()))
        dimension = str(section.dimension())
        rows = tuple(_row(section, row, len(by), dimension) for row in section.items("rows"))
        assumptions[str(name)] = Assumption(
            str(name),
            str(section.text("label")),
            section.text("stands_for", None),
            dimension,
            section.reading(dimension),
            by,
            rows,
        )
        section.finish()
    return assumptions


def _row(section: Section, row: object, keys: int, dimension: str) -> AssumptionRow:
    wanted = keys + 4
    if not isinstance(row, Items) or len(row) != wanted or not all(isinstance(cell, str) for cell in row):
        section.fail(
            "has a row that is not `[choices..., typical, low, high, source]`.",
            f"Give {keys} choice{'s' if keys != 1 else ''} and four more cells.",
            getattr(row, "line", section.line),
        )
    typical, low, high = (section.si(cell, dimension, "rows") for cell in row[keys : keys + 3])
    if not low <= typical <= high:
        section.fail(
            "has a row whose typical value is not between low and high.",
            "Order the cells typical, low, high.",
            row.line,
        )
    return AssumptionRow(tuple(str(cell) for cell in row[:keys]), typical, low, high, str(row[-1]))
