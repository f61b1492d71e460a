"""<slot>.csv: the parts of a slot as a table.

Columns number, maker, title, price, stock; fits.<key> (words split by |), has.<key>; every other column is a
field of the build spec.
"""

import csv
from pathlib import Path

from service.catalog.check import PlacedPart
from service.catalog.written_part import OWN_KEYS, Place, WrittenPart
from service.errors import CatalogError, Problem
from service.rulebook.files.yaml_file import Text

_FITS, _HAS = "fits.", "has."


def read_csv_parts(path: Path, problems: list[Problem]) -> list[PlacedPart]:
    """The parts of a file; what is wrong with one of them goes to `problems`."""
    placed_parts = []
    with path.open(newline="", encoding="utf-8") as file:
        rows = csv.DictReader(file)
        missing = [key for key in OWN_KEYS if key not in (rows.fieldnames or ())]
        if missing:
            message = f"lacks the column `{missing[0]}`."
            problems.append(Problem(path.name, 1, message, f"Every file has {', '.join(OWN_KEYS)}."))
            return []
        for row in rows:
            try:
                placed_parts.append(_placed_part(path, rows.line_num, row))
            except CatalogError as error:
                problems += error.problems
    return placed_parts


def _placed_part(path: Path, line: int, row: dict[str, str]) -> PlacedPart:
    # The reader puts surplus cells under None, and None where cells are missing.
    if None in row or None in row.values():
        message = "has more or fewer cells than there are columns."
        raise CatalogError([Problem(path.name, line, message, "Put a cell that holds a comma in quotes.")])
    cells = {name: value for name, value in row.items() if value and name not in OWN_KEYS}
    gives = {name: Text(value) for name, value in cells.items() if not name.startswith((_FITS, _HAS))}
    written = WrittenPart(
        path.stem,
        row,
        gives,
        {
            name.removeprefix(_FITS): tuple(value.split("|"))
            for name, value in cells.items()
            if name.startswith(_FITS)
        },
        {name.removeprefix(_HAS): value for name, value in cells.items() if name.startswith(_HAS)},
        lambda key: Place(path.name, line, f", column {key}"),
    )
    return PlacedPart(written.read(), path.name, line, {name: f", column {name}" for name in gives})
