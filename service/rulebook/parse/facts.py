"""The plain facts of a rulebook: sources, constants, tables, assumptions, cautions, display units."""

from service.rulebook.files.section import Section, instead
from service.rulebook.files.yaml_file import Items
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

SYSTEMS = ("metric", "us")
SOURCE_KINDS = (
    "standard",
    "regulation",
    "book",
    "paper",
    "factory data",
    "definition",
    "common practice",
    "from memory",
    "house choice",
    "own model",
    "worked by hand",
    "regression pin",
)


def parse_source(section: Section) -> Source:
    """One entry of sources.yaml."""
    source = Source(section.name, section.one_of("kind", SOURCE_KINDS), str(section.sentence("citation")))
    section.finish()
    return source


def parse_caution(section: Section) -> Caution:
    """One entry of cautions.yaml."""
    caution = Caution(str(section.sentence("text")), section.words("moments"))
    section.finish()
    return caution


def parse_display(section: Section) -> dict[str, str]:
    """The unit shown in each system, and the digits."""
    if section.name not in DIMENSIONS:
        section.fail("is no dimension.", instead(section.name, DIMENSIONS, "Use the dimensions of units.py."))
    shown = {key: str(section.take(key)) for key in ("metric", "us", "digits")}
    section.finish()
    section.whole(shown["digits"], "digits")
    for system in SYSTEMS:
        section.si(f"1 {shown[system]}".strip(), section.name, system)
    return shown


def parse_wording(section: Section) -> dict[str, str]:
    """One system of units in words.yaml: what is said in place of a word of the rules."""
    if section.name not in SYSTEMS:
        section.fail("is no system of units.", instead(section.name, SYSTEMS, "Write metric or us."))
    words = {str(word).lower(): str(section.text(str(word))) for word in section.node}
    section.finish()
    return words


def parse_constant(section: Section) -> Constant:
    """One entry of constants.yaml."""
    dimension = section.dimension()
    constant = Constant(
        name=section.name,
        label=str(section.text("label")),
        value=section.si(section.text("value"), dimension, "value"),
        dimension=dimension,
        reading=section.reading(dimension),
        source=str(section.text("source")),
    )
    section.finish()
    return constant


def parse_table(section: Section) -> Table:
    """One file of tables/."""
    keys = section.items("key")
    if len(keys) != 1:
        section.fail("has other than one key.", "Write `key: [input]`.", section.line_of("key"))
    columns = {
        str(column): _column(Section(section.file, column, node, column.line))
        for column, node in section.entries("columns").items()
    }
    rows = {}
    for key, node in section.entries("rows").items():
        row = Section(section.file, f"{section.name}.{key}", node, key.line)
        cells = {column.name: _cell(row, column) for column in columns.values() if row.has(column.name)}
        row.taken.update(columns)
        label = str(row.text("label", str(key).replace("_", " ")))
        rows[str(key)] = TableRow(str(key), label, cells, str(row.text("source")))
        row.finish()
    if "unknown" not in rows:
        section.fail(
            "lacks the row `unknown`.",
            "Add a row `unknown:` that says what holds when the choice is not given; "
            "it may be empty but for its source.",
            section.line_of("rows"),
        )
    table = Table(section.name, str(keys[0]), str(section.text("label")), columns, rows)
    section.finish()
    return table


def _column(section: Section) -> Column:
    choices = section.words("choices")
    dimension = None if choices else section.dimension()
    reading = section.reading(dimension) if dimension else None
    column = Column(section.name, dimension, reading, choices, str(section.text("label")))
    section.finish()
    return column


def _cell(row: Section, column: Column) -> float | str:
    if column.dimension is None:
        return row.one_of(column.name, column.choices)
    return row.si(row.text(column.name), column.dimension, column.name)


def parse_assumption(section: Section) -> Assumption:
    """One entry of assumptions.yaml."""
    by = section.words("by")
    dimension = section.dimension()
    rows = tuple(_row(section, row, len(by), dimension) for row in section.items("rows"))
    stands_for = section.text("stands_for", None)
    assumption = Assumption(
        name=section.name,
        label=str(section.text("label")),
        stands_for=str(stands_for) if stands_for else None,
        dimension=dimension,
        reading=section.reading(dimension),
        by=by,
        rows=rows,
        says=_says(section),
    )
    section.finish()
    return assumption


def _says(section: Section) -> tuple[str, ...]:
    """The words for zero and for one, of an assumption that is a yes or no."""
    says = section.words("says")
    if says and (len(says) != 2 or section.dimension() != "ratio"):
        section.fail(
            "has `says:` that are not the words for zero and for one.",
            "Write `says: [words for zero, words for one]`, for a ratio of zero or one.",
            section.line_of("says"),
        )
    return says


def _row(section: Section, row: object, keys: int, dimension: str) -> AssumptionRow:
    cells = keys + 4
    if not isinstance(row, Items) or len(row) != cells or not all(isinstance(cell, str) for cell in row):
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
