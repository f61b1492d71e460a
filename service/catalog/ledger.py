"""ledger.csv: the digests of the parts a catalog has held, so that no part changes under its number."""

import csv
from pathlib import Path

from service.catalog.catalog import Catalog
from service.errors import CatalogError, Problem

LEDGER = "ledger.csv"


def read_ledger(folder: Path) -> dict[str, str]:
    """Number -> digest of the parts this catalog has held; empty where it keeps no ledger."""
    path = folder / LEDGER
    if not path.exists():
        return {}
    try:
        with path.open(newline="", encoding="utf-8") as file:
            rows = csv.DictReader(file)
            if not {"number", "digest"} <= set(rows.fieldnames or ()):
                fix = "Its columns are number and digest; take it from the last version that loaded."
                raise CatalogError([Problem(path.name, 1, "is no ledger.", fix)])
            return {row["number"]: row["digest"] for row in rows}
    except (UnicodeDecodeError, csv.Error) as error:
        raise unreadable(path, error) from error


def write_ledger(folder: Path, catalog: Catalog) -> int:
    """Adds parts not seen before; returns how many. What is written stays."""
    ledger = read_ledger(folder)
    new = {number: part.digest() for number, part in catalog.parts.items() if number not in ledger}
    with (folder / LEDGER).open("w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(["number", "digest"])
        rows.writerows(sorted((ledger | new).items()))
    return len(new)


def unreadable(path: Path, error: Exception) -> CatalogError:
    """What is wrong with a file that is not UTF-8 or not comma-separated."""
    return CatalogError(
        [Problem(path.name, 0, "cannot be read.", f"Save it as UTF-8, comma-separated ({error}).")]
    )
