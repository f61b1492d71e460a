"""A catalog in SQLite and in a real PostgreSQL server: the same parts and the same digest as in
the folder.
"""

import os
import shutil
import socket
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text
from sqlalchemy.exc import SQLAlchemyError

from service.catalog.catalog import Catalog
from service.catalog.database import read_database, write_database
from service.catalog.expand import as_delivered, expanded
from service.catalog.folder import read_folder
from service.commands.catalog import check_catalog
from service.errors import CatalogError
from tests.support.rules import parts_named

pytestmark = pytest.mark.slow

FIXED = Path(__file__).parent
# initdb refuses to run as root.
UNPRIVILEGED = "nobody"


@pytest.fixture(scope="module")
def fixed(real_rules):
    return read_folder(FIXED, real_rules.reader)


def program(name):
    found = shutil.which(name) or next(
        (str(path) for path in sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))), None
    )
    assert found, "the Debian package `postgresql` is needed for this test"
    return str(Path(found).resolve())


@pytest.fixture(scope="module")
def postgres(tmp_path_factory):
    """The URL of a temporary cluster of its own, on loopback."""
    home = tmp_path_factory.mktemp("postgres")
    prefix = []
    if os.getuid() == 0:
        prefix = ["runuser", "-u", UNPRIVILEGED, "--"]
        for folder in (home, *home.parents):
            if folder == Path(folder.anchor) or folder.name == "tmp":
                break
            folder.chmod(0o755)
        shutil.chown(home, UNPRIVILEGED)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    run = lambda *command: subprocess.run(
        [*prefix, *command], check=True, capture_output=True, text=True, cwd=home, timeout=60
    )
    run(
        program("initdb"),
        "-D",
        str(home / "data"),
        "-U",
        "shop",
        "--auth",
        "trust",
        "--no-sync",
        "-E",
        "UTF8",
    )
    run(
        program("pg_ctl"),
        "-D",
        str(home / "data"),
        "-w",
        "-l",
        str(home / "log"),
        "-o",
        f"-c listen_addresses=127.0.0.1 -p {port} -k {home} -c fsync=off",
        "start",
    )
    yield f"postgresql://shop@127.0.0.1:{port}/postgres"
    run(program("pg_ctl"), "-D", str(home / "data"), "-w", "-m", "immediate", "stop")


@pytest.fixture(params=["sqlite", "postgres"])
def url(request, tmp_path):
    return (
        f"sqlite:///{tmp_path / 'parts.db'}"
        if request.param == "sqlite"
        else request.getfixturevalue("postgres")
    )


def test_a_round_trip_keeps_every_part(url, fixed, real_rules):
    write_database(url, fixed)
    read = read_database(url, real_rules.reader)
    assert read.parts == fixed.parts and read.digest == fixed.digest


def test_a_catalog_takes_the_place_of_the_one_there(url, fixed, real_rules):
    write_database(url, fixed)
    fewer = Catalog(
        "2026.2", "EUR", {number: part for number, part in fixed.parts.items() if part.slot != "clutch"}
    )
    write_database(url, fewer)
    assert read_database(url, real_rules.reader).digest == fewer.digest


def test_a_changed_part_is_refused_and_nothing_is_written(url, fixed, real_rules):
    write_database(url, fixed)
    number = "CL-1OR-85"
    changed = replace(fixed.parts[number], gives={"clutch": {"clamp_load": "9999 N"}})
    with pytest.raises(CatalogError, match=f"`{number}` is there with other figures"):
        write_database(url, Catalog("2026.3", "EUR", fixed.parts | {number: changed}))
    assert read_database(url, real_rules.reader).digest == fixed.digest


def execute(url, statement):
    engine = create_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    with engine.begin() as connection:
        connection.execute(text(statement))
    engine.dispose()


def test_a_row_changed_behind_the_ledger_is_refused(url, fixed, real_rules):
    write_database(url, fixed)
    execute(url, "UPDATE parts SET title = 'Another clutch' WHERE number = 'CL-1OR-85'")
    with pytest.raises(CatalogError, match="was changed under the same number"):
        read_database(url, real_rules.reader)


def test_a_price_may_change(url, fixed, real_rules):
    write_database(url, fixed)
    write_database(
        url,
        Catalog(
            fixed.version, "EUR", fixed.parts | {"CL-1OR-85": replace(fixed.parts["CL-1OR-85"], price=1)}
        ),
    )
    assert read_database(url, real_rules.reader).parts["CL-1OR-85"].price == 1


def test_a_database_with_tables_and_no_catalog_says_how_to_copy_one(url, fixed, real_rules):
    write_database(url, fixed)
    execute(url, "DELETE FROM catalog")
    with pytest.raises(
        CatalogError, match="holds no catalog. Copy one there: python -m service catalog FOLDER --to URL"
    ):
        read_database(url, real_rules.reader)


def test_the_number_of_a_part_that_is_gone_stays_taken(url, fixed, real_rules):
    write_database(url, fixed)
    number = "CL-1OR-85"
    fewer = Catalog("2026.2", "EUR", {one: part for one, part in fixed.parts.items() if one != number})
    write_database(url, fewer)
    with pytest.raises(CatalogError, match=f"`{number}` is there with other figures"):
        write_database(
            url,
            Catalog(
                "2026.3", "EUR", fixed.parts | {number: replace(fixed.parts[number], title="Another clutch")}
            ),
        )
    assert read_database(url, real_rules.reader).digest == fewer.digest


def test_a_write_that_breaks_off_leaves_the_catalog_that_was_there(url, fixed, real_rules):
    """By then the old rows are deleted in the same transaction."""
    write_database(url, fixed)
    with pytest.raises((SQLAlchemyError, CatalogError)):
        write_database(
            url,
            Catalog(
                "2026.4",
                "EUR",
                fixed.parts | {"SP-NEW": replace(fixed.parts["SP-060-0"], number="SP-NEW", price=None)},
            ),
        )
    assert read_database(url, real_rules.reader).digest == fixed.digest


@pytest.mark.parametrize(
    "place", ["sqlite:///{folder}/none.db", "postgresql://shop@127.0.0.1:1/none", "nonsense://x"]
)
def test_what_cannot_be_read_says_what_to_look_at(place, tmp_path, real_rules):
    with pytest.raises(CatalogError) as caught:
        read_database(place.format(folder=tmp_path), real_rules.reader)
    assert "s CATALOG right" in caught.value.problems[0].fix
    # A misspelt file is not made.
    assert not list(tmp_path.iterdir())


def test_the_command_copies_a_folder(tmp_path, capsys, real_rules, fixed):
    place = f"sqlite:///{tmp_path / 'parts.db'}"
    assert check_catalog(FIXED, accept=False, url=place) == 0
    assert fixed.digest in capsys.readouterr().out
    assert read_database(place, real_rules.reader).digest == fixed.digest


@pytest.mark.parametrize(
    "place", ["postgresql://shop@127.0.0.1:1/none", "sqlite:////nonexistent/x.db", "nonsense://x"]
)
def test_what_cannot_be_written_says_what_to_look_at(place, fixed):
    with pytest.raises(CatalogError, match="is the URL right"):
        write_database(place, fixed)


ENGINE, KIT, INJECTORS = "EN-50-N302", "KT-50-S6", "IN-060-F09"
FLOW = ("fuel_system", "injector_flow")


@pytest.mark.parametrize(
    ("named", "stated", "flow", "delivered"),
    [
        ({"engine": ENGINE}, {}, "24 lb/h", True),
        ({"engine": ENGINE, "kit": KIT}, {}, "39 lb/h", False),
        ({"engine": ENGINE, "kit": KIT, "injectors": INJECTORS}, {}, "60 lb/h", False),
        (
            {"engine": ENGINE, "kit": KIT, "injectors": INJECTORS},
            {"fuel_system": {"injector_flow": "55 lb/h"}},
            "55 lb/h",
            False,
        ),
    ],
)
def test_whose_word_counts(url, fixed, real_rules, named, stated, flow, delivered):
    """What the build says, then the part in its own slot, then the kit, then the engine as delivered."""
    write_database(url, fixed)
    for catalog in (fixed, read_database(url, real_rules.reader)):
        build = {"parts": named} | stated
        parts = parts_named(build, catalog)
        made = expanded(build, parts)
        assert made[FLOW[0]][FLOW[1]] == flow
        assert ("fuel_system.injector_flow" in as_delivered(build, parts)) is delivered
        # What nobody has replaced stays as it was delivered.
        assert made["clutch"]["torque_rating"] == "400 lb-ft"
        assert "clutch.torque_rating" in as_delivered(build, parts)
