"""A catalog in a folder.

catalog.yaml names version and currency, each slot has <slot>.yaml or <slot>.csv, ledger.csv what was seen
before.
"""

import csv
from pathlib import Path

from service.catalog.catalog import Catalog
from service.catalog.check import PlacedPart, checked
from service.catalog.ledger import LEDGER, read_ledger, unreadable
from service.catalog.parts_in_csv import read_csv_parts
from service.catalog.parts_in_yaml import read_yaml_parts
from service.errors import CatalogError, Problem, RulebookError
from service.evaluation.reading.spec import SpecReader
from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import read_yaml

_HEAD = "catalog.yaml"


def read_folder(folder: Path, reader: SpecReader) -> Catalog:
    """The catalog of a folder, or CatalogError with every mistake found."""
    if not (folder / _HEAD).is_file():
        message = (
            "CATALOG names a folder with catalog.yaml and one file for each slot, or the URL of a database."
        )
        raise CatalogError([Problem(str(folder), 0, "is no catalog.", message)])
    try:
        head = Section(_HEAD, "catalog", read_yaml(folder / _HEAD, _HEAD), 1)
        version, currency = str(head.text("version")), str(head.text("currency"))
        head.finish()
        placed_parts, problems = _read_parts(folder)
        ledger = read_ledger(folder)
    except RulebookError as error:
        raise CatalogError(error.problems) from error
    except OSError as error:
        message = "It is a folder with catalog.yaml and one file for each slot."
        raise CatalogError([Problem(str(folder), 0, "cannot be read as a catalog.", message)]) from error
    if problems:
        raise CatalogError(problems)
    return Catalog(version, currency, checked(placed_parts, reader, ledger))


def _read_parts(folder: Path) -> tuple[list[PlacedPart], list[Problem]]:
    placed_parts: list[PlacedPart] = []
    problems: list[Problem] = []
    for path in sorted(folder.iterdir()):
        try:
            if path.suffix == ".yaml" and path.name != _HEAD:
                placed_parts += read_yaml_parts(path, problems)
            elif path.suffix == ".csv" and path.name != LEDGER:
                placed_parts += read_csv_parts(path, problems)
        except (UnicodeDecodeError, csv.Error) as error:
            raise unreadable(path, error) from error
    return placed_parts, problems
