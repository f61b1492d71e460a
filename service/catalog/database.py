"""A catalog in a database (SQLAlchemy Core): SQLite embedded, PostgreSQL for many replicas."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import (
    JSON,
    Column,
    Connection,
    Engine,
    Integer,
    MetaData,
    RowMapping,
    String,
    Table,
    create_engine,
    delete,
    insert,
    make_url,
    select,
)
from sqlalchemy.exc import SQLAlchemyError

from service.catalog.catalog import Catalog
from service.catalog.check import PlacedPart, checked
from service.catalog.part import Part
from service.errors import CatalogError, Problem
from service.evaluation.reading.spec import SpecReader

TABLES = MetaData()
CATALOG = Table(
    "catalog", TABLES, Column("version", String, primary_key=True), Column("currency", String, nullable=False)
)
PARTS = Table(
    "parts",
    TABLES,
    Column("number", String, primary_key=True),
    Column("slot", String, nullable=False),
    Column("maker", String, nullable=False),
    Column("title", String, nullable=False),
    Column("price", Integer, nullable=False),
    Column("stock", Integer, nullable=False),
    Column("gives", JSON, nullable=False),
    Column("fits", JSON, nullable=False),
    Column("has", JSON, nullable=False),
    Column("fills", JSON, nullable=False),
)
# Stays when a part goes, so that its number is never used again for another one.
LEDGER = Table(
    "ledger", TABLES, Column("number", String, primary_key=True), Column("digest", String, nullable=False)
)


_DATABASE = "database"


def read_database(url: str, reader: SpecReader) -> Catalog:
    """The catalog of a database, or CatalogError with every mistake found."""
    try:
        place = make_url(url)
        # SQLite would make an empty one where there is none.
        if place.get_backend_name() == "sqlite" and not Path(place.database or "").is_file():
            raise _error(
                "there is no such file.",
                "Is CATALOG right? Four slashes begin a whole path: sqlite:////home/shop/parts.db.",
            )
        with _engine(url) as engine, engine.connect() as connection:
            head = connection.execute(select(CATALOG)).mappings().one_or_none()
            rows = connection.execute(select(PARTS).order_by(PARTS.c.number)).mappings().all()
            ledger = {row.number: row.digest for row in connection.execute(select(LEDGER))}
    except SQLAlchemyError as error:
        raise _error(
            "the catalog cannot be read.",
            f"{type(error).__name__}: is CATALOG right, does the server answer, was a catalog copied there?",
        ) from error
    if head is None:
        raise _error("holds no catalog.", "Copy one there: python -m service catalog FOLDER --to URL.")
    placed = [PlacedPart(_part(row), "table parts", number, {}) for number, row in enumerate(rows, start=1)]
    return Catalog(head["version"], head["currency"], checked(placed, reader, ledger))


def write_database(url: str, catalog: Catalog) -> None:
    """Puts a catalog in place of the one there, at once; refuses parts changed under their number."""
    try:
        with _engine(url) as engine:
            TABLES.create_all(engine)
            with engine.begin() as connection:
                _write(connection, catalog)
    except SQLAlchemyError as error:
        raise _error(
            "the catalog cannot be written.",
            f"{type(error).__name__}: is the URL right, does the server answer, may this user write?",
        ) from error


def _write(connection: Connection, catalog: Catalog) -> None:
    ledger = {row.number: row.digest for row in connection.execute(select(LEDGER))}
    changed = [
        number for number, part in catalog.parts.items() if ledger.get(number, part.digest()) != part.digest()
    ]
    if changed:
        raise CatalogError(
            [
                Problem(
                    _DATABASE,
                    0,
                    f"the part `{number}` is there with other figures under the same number.",
                    "Give the changed part a new number.",
                )
                for number in changed
            ]
        )
    connection.execute(delete(CATALOG))
    connection.execute(delete(PARTS))
    connection.execute(insert(CATALOG), {"version": catalog.version, "currency": catalog.currency})
    connection.execute(insert(PARTS), [part.row() for part in catalog.parts.values()])
    new = [
        {"number": number, "digest": part.digest()}
        for number, part in catalog.parts.items()
        if number not in ledger
    ]
    if new:
        connection.execute(insert(LEDGER), new)


@contextmanager
def _engine(url: str) -> Iterator[Engine]:
    """An engine for one visit; its connections are closed whatever happens."""
    # psycopg 3 is the driver installed; a plain postgresql:// means it.
    engine = create_engine(url.replace("postgresql://", "postgresql+psycopg://", 1))
    try:
        yield engine
    finally:
        engine.dispose()


def _error(message: str, fix: str) -> CatalogError:
    return CatalogError([Problem(_DATABASE, 0, message, fix)])


def _part(row: RowMapping) -> Part:
    fits = {key: tuple(words) for key, words in row["fits"].items()}
    return Part(
        row["number"],
        row["slot"],
        row["maker"],
        row["title"],
        row["price"],
        row["stock"],
        row["gives"],
        fits,
        row["has"],
        row["fills"],
    )
