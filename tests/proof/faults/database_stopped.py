"""The catalog's database stops: what was read at the start goes on answering, a roll without the database is
refused, and with it back a roll goes through.
"""

import json
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from service.catalog.database import write_database
from service.catalog.folder import read_folder
from tests.proof.load import Load, evaluation
from tests.proof.postgres import Absent, Postgres
from tests.support.expected import app_with, questions
from tests.support.server import ROOT, Server

CATALOG = ROOT / "tests/catalog"


def prove(seconds: float = 10.0) -> bool:
    """Print what the client saw; true when no request failed and each roll came out as it must."""
    try:
        return _prove(seconds)
    except Absent as absent:
        print(f"the catalog's database stopped: not tried, {absent}")
        return False


def _prove(seconds: float) -> bool:
    app = app_with(CATALOG=str(CATALOG))
    asked = questions(
        [evaluation(**json.loads((ROOT / "openapi/examples/parts.json").read_text())["request"])], app
    )
    with TemporaryDirectory() as name, Postgres(Path(name)) as database:
        write_database(
            database.url, read_folder(CATALOG, app.extensions["engine-build-rules"].evaluator.reader)
        )
        with (
            Server(Path(name), CATALOG=database.url) as server,
            Load(server.port, asked, pause=0.005) as load,
        ):
            before = {one.pid for one in server.workers()}
            time.sleep(seconds / 4)
            database.stop()
            stopped_at = time.monotonic()
            time.sleep(seconds / 4)
            without, said_without = server.roll()
            kept = {one.pid for one in server.workers()} == before
            time.sleep(seconds / 4)
            database.start()
            with_it, _said_with = server.roll()
            changed = not before & {one.pid for one in server.workers()}
            time.sleep(seconds / 4)
            tally = load.stop()
            complaint = [
                line.strip() for line in (said_without + "\n" + server.log).splitlines() if "CATALOG" in line
            ]
    print(f"the catalog's database stopped and started: {tally}")
    print(
        f"  answers after the stop {sum(one.sent > stopped_at for one in tally.answers):,}; roll without "
        f"it refused: {not without}, the old workers stayed: {kept}; roll with it back: {with_it}, new "
        f"workers: {changed}"
    )
    print(
        "  what the refused roll says: "
        f"{complaint[0] if complaint else 'nothing of the catalog: ' + said_without[-300:]}"
    )
    return tally.errors == 0 and not without and kept and with_it and changed and bool(complaint)
