"""Where a catalog comes from: a folder, or a database by its URL."""

from pathlib import Path

from service.catalog.catalog import Catalog
from service.catalog.folder import read_folder
from service.evaluation.reading.spec import SpecReader
from service.extra import need_extra


def load_catalog(place: str, reader: SpecReader) -> Catalog:
    """The catalog at CATALOG."""
    if "://" in place:
        # Only a service with a database pays for its library.
        need_extra("database", "sqlalchemy")
        from service.catalog.database import read_database

        return read_database(place, reader)
    return read_folder(Path(place), reader)
