"""A catalog in a folder: catalog.yaml names version and currency, each slot has <slot>.yaml or <slot>.csv, ledger.csv what was seen before."""

import csv
import re
from pathlib import Path

from service.catalog.catalog import Catalog
from service.catalog.check import Placed, checked
from service.catalog.part import Part
from service.errors import CatalogError, Problem, RulebookError
from service.evaluation.reading.spec import SpecReader
from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries, Text, read_yaml

_PRICE = re.compile(r"[0-9]{1,9}(\.[0-9]{2})?")
_COUNT = re.compile(r"[0-9]{1,9}")
_OWN = ("number", "maker", "title", "price", "stock")


def read_folder(folder: Path, reader: SpecReader) -> Catalog:
    """The catalog of a folder, or CatalogError with every mistake found."""
    if not (folder / "catalog.yaml").is_file():
        raise CatalogError(
            [
                Problem(
                    str(folder),
                    0,
                    "is no catalog.",
                    "CATALOG names a folder with catalog.yaml and one file for each slot, or the URL of a database.",
                )
            ]
        )
    try:
        head = Section("catalog.yaml", "catalog", read_yaml(folder / "catalog.yaml", "catalog.yaml"), 1)
        version, currency = str(head.text("version")), str(head.text("currency"))
        head.finish()
        placed: list[Placed] = []
        problems: list[Problem] = []
        for path in sorted(folder.iterdir()):
            if path.suffix == ".yaml" and path.name != "catalog.yaml":
                placed += _yaml(path, problems)
            elif path.suffix == ".csv" and path.name != "ledger.csv":
                placed += _csv(path, problems)
        path = folder / "ledger.csv"
        ledger = read_ledger(folder)
    except RulebookError as error:
        raise CatalogError(error.problems) from error
    except (UnicodeDecodeError, csv.Error) as error:
        raise CatalogError(
            [Problem(path.name, 0, "cannot be read.", f"Save it as UTF-8, comma-separated ({error}).")]
        ) from error
    except OSError as error:
        raise CatalogError(
            [
                Problem(
                    str(folder),
                    0,
                    "cannot be read as a catalog.",
                    "It is a folder with catalog.yaml and one file for each slot.",
                )
            ]
        ) from error
    if problems:
        raise CatalogError(problems)
    return Catalog(version, currency, checked(placed, reader, ledger))


def read_ledger(folder: Path) -> dict[str, str]:
    """Number -> digest of the parts this catalog has held; empty where it keeps no ledger."""
    path = folder / "ledger.csv"
    if not path.exists():
        return {}
    with path.open(newline="", encoding="utf-8") as file:
        rows = csv.DictReader(file)
        if not {"number", "digest"} <= set(rows.fieldnames or ()):
            raise CatalogError(
                [
                    Problem(
                        path.name,
                        1,
                        "is no ledger.",
                        "Its columns are number and digest; take it from the last version that loaded.",
                    )
                ]
            )
        return {row["number"]: row["digest"] for row in rows}


def write_ledger(folder: Path, catalog: Catalog) -> int:
    """Adds parts not seen before; returns how many. What is written stays."""
    ledger = read_ledger(folder)
    new = {number: part.digest() for number, part in catalog.parts.items() if number not in ledger}
    with (folder / "ledger.csv").open("w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(["number", "digest"])
        rows.writerows(sorted((ledger | new).items()))
    return len(new)


def _yaml(path: Path, problems: list[Problem]) -> list[Placed]:
    """parts: [{number, maker, title, price, stock, fits: {key: [words]}, has: {key: word}, gives: {dotted.name: value}}]"""
    placed = []
    file = Section(path.name, path.stem, read_yaml(path, path.name), 1)
    for node in file.items("parts"):
        entry = Section(path.name, "part", node, getattr(node, "line", 1))
        try:
            gives = entry.entries("gives", Entries())
            row = {key: str(entry.text(key)) for key in _OWN}
            # One word is a list of one.
            fits = {
                str(key): (str(words),) if isinstance(words, Text) else tuple(str(word) for word in words)
                for key, words in entry.entries("fits", Entries()).items()
            }
            has = {str(key): str(word) for key, word in entry.entries("has", Entries()).items()}
            entry.finish()
            places = {str(name): f" on line {name.line}" for name in gives}
            part = _part(
                path.stem,
                row,
                {str(name): value for name, value in gives.items()},
                fits,
                has,
                lambda key: (path.name, entry.line_of(key), ""),
            )
            placed.append(Placed(part, path.name, entry.line, places))
        except (RulebookError, CatalogError) as error:
            problems += error.problems
    file.finish()
    return placed


def _csv(path: Path, problems: list[Problem]) -> list[Placed]:
    """Columns number, maker, title, price, stock; fits.<key> (words split by |), has.<key>; every other column is a field of the build spec."""
    placed = []
    with path.open(newline="", encoding="utf-8") as file:
        rows = csv.DictReader(file)
        columns = rows.fieldnames or []
        missing = [key for key in _OWN if key not in columns]
        if missing:
            problems.append(
                Problem(
                    path.name, 1, f"lacks the column `{missing[0]}`.", f"Every file has {', '.join(_OWN)}."
                )
            )
            return []
        for row in rows:
            number = rows.line_num
            try:
                if None in row or None in row.values():
                    raise CatalogError(
                        [
                            Problem(
                                path.name,
                                number,
                                "has more or fewer cells than there are columns.",
                                "Put a cell that holds a comma in quotes.",
                            )
                        ]
                    )
                gives = {
                    name: Text(value)
                    for name, value in row.items()
                    if value and name not in _OWN and not name.startswith(("fits.", "has."))
                }
                fits = {
                    name[5:]: tuple(value.split("|"))
                    for name, value in row.items()
                    if value and name.startswith("fits.")
                }
                has = {name[4:]: value for name, value in row.items() if value and name.startswith("has.")}
                part = _part(
                    path.stem,
                    row,
                    gives,
                    fits,
                    has,
                    lambda key, line=number: (path.name, line, f", column {key}"),
                )
                placed.append(Placed(part, path.name, number, {name: f", column {name}" for name in gives}))
            except CatalogError as error:
                problems += error.problems
    return placed


def _part(slot: str, row: dict[str, str], gives: dict, fits: dict, has: dict, place) -> Part:
    for key in _OWN:
        if not row[key]:
            file, line, column = place(key)
            raise CatalogError(
                [
                    Problem(
                        file,
                        line,
                        f"lacks `{key}`{column}.",
                        "Every part has number, maker, title, price and stock.",
                    )
                ]
            )
    for key, form, wanted in (
        ("price", _PRICE, "an amount such as 129.00"),
        ("stock", _COUNT, "a whole number"),
    ):
        if not form.fullmatch(row[key]):
            file, line, column = place(key)
            raise CatalogError(
                [Problem(file, line, f"has no `{key}` that can be read{column}.", f"Write {wanted}.")]
            )
    whole, _, part = row["price"].partition(".")
    build: dict[str, dict[str, object]] = {}
    for path, value in gives.items():
        group, _, name = path.rpartition(".")
        build.setdefault(group, {})[name] = _plain(value)
    return Part(
        row["number"],
        slot,
        row["maker"],
        row["title"],
        int(whole) * 100 + int(part or 0),
        int(row["stock"]),
        build,
        fits,
        has,
    )


def _plain(value: object) -> object:
    """A cell as a client's JSON would hold it: counts are numbers, all else is text or a list of points."""
    if isinstance(value, dict):
        return {str(key): _plain(entry) for key, entry in value.items()}
    if isinstance(value, list):
        return [_plain(entry) for entry in value]
    return int(value) if _COUNT.fullmatch(str(value)) else str(value)
