"""<slot>.yaml: the parts of a slot, as strict as a rule file.

parts: [{number, maker, title, price, stock, fits: {key: [words]}, has: {key: word}, gives: {dotted.name:
value}}]

A kit, or an engine as delivered, has `fills: {slot: {dotted.name: value}}` besides: what of it stands in the
place of other parts.
"""

from pathlib import Path

from service.catalog.check import PlacedPart
from service.catalog.written_part import OWN_KEYS, Place, WrittenPart
from service.errors import Problem, RulebookError
from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries, Text, read_yaml


def read_yaml_parts(path: Path, problems: list[Problem]) -> list[PlacedPart]:
    """The parts of a file; what is wrong with one of them goes to `problems`."""
    placed_parts = []
    file = Section(path.name, path.stem, read_yaml(path, path.name), 1)
    for node in file.items("parts"):
        # A node that is no entry at all stops the file; a mistake in one only that part.
        entry = Section(path.name, "part", node, getattr(node, "line", 1))
        try:
            placed_parts.append(_placed_part(path, entry))
        except RulebookError as error:
            problems += error.problems
    file.finish()
    return placed_parts


def _placed_part(path: Path, entry: Section) -> PlacedPart:
    gives = entry.entries("gives", Entries())
    row = {key: str(entry.text(key)) for key in OWN_KEYS}
    # One word is a list of one.
    fits = {
        str(key): (str(words),) if isinstance(words, Text) else tuple(str(word) for word in words)
        for key, words in entry.entries("fits", Entries()).items()
    }
    has = {str(key): str(word) for key, word in entry.entries("has", Entries()).items()}
    fills = {
        str(slot): {str(name): value for name, value in fields.items()}
        for slot, fields in entry.entries("fills", Entries()).items()
        if isinstance(fields, Entries)
    }
    entry.finish()
    written = WrittenPart(
        path.stem,
        row,
        {str(name): value for name, value in gives.items()},
        fits,
        has,
        lambda key: Place(path.name, entry.line_of(key)),
        fills,
    )
    filled = [fields for fields in entry.entries("fills", Entries()).values() if isinstance(fields, Entries)]
    places = {str(name): f" on line {name.line}" for fields in (gives, *filled) for name in fields}
    return PlacedPart(written.read(), path.name, entry.line, places)
