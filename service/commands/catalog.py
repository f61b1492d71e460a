"""Validate a catalog folder, accept its new parts, copy it to a database."""

from pathlib import Path

from service.catalog.folder import read_folder
from service.catalog.ledger import write_ledger
from service.evaluation.reading.spec import SpecReader
from service.extra import need_extra
from service.rulebook.load import load_rulebook
from service.settings import rules_folder


def check_catalog(folder: Path, accept: bool, url: str | None) -> int:
    """What is wrong goes to the one error tree; else what the catalog holds is printed."""
    reader = SpecReader(load_rulebook(rules_folder()))
    catalog = read_folder(folder, reader)
    print(f"{folder}: {len(catalog.parts)} parts in {len(catalog.slots)} slots, version {catalog.version}.")
    print(catalog.digest)
    if accept:
        print(f"{write_ledger(folder, catalog)} new parts written to the ledger.")
    if url:
        need_extra("database", "sqlalchemy")
        from service.catalog.database import write_database

        write_database(url, catalog)
        print("Copied to the database.")
    return 0
