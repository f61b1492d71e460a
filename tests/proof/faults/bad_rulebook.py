"""A rulebook with a mistake is offered: the roll fails with file and line, and the one that is loaded goes on
answering.
"""

import time
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.proof.faults.rulebooks import FILE, LINE, NO_SHARE, copy_of_rules, point
from tests.proof.load import Load, evaluation
from tests.support.expected import app_with, questions
from tests.support.server import Server


def prove(seconds: float = 10.0) -> bool:
    """Print what became of it; true when the roll failed, file and line were named, and no
    request noticed.
    """
    with TemporaryDirectory() as name:
        folder = Path(name)
        good, bad, link = (
            copy_of_rules(folder, "good"),
            copy_of_rules(folder, "bad", NO_SHARE),
            folder / "rules",
        )
        point(link, good)
        asked = questions([evaluation(EIGHTEEN_FIELDS)], app_with(RULES=str(good)))
        with Server(folder, RULES=str(link)) as server:
            before = {one.pid for one in server.workers()}
            with Load(server.port, asked, pause=0.005) as load:
                time.sleep(seconds / 3)
                point(link, bad)
                rolled, said = server.roll()
                time.sleep(seconds / 3)
                tally = load.stop()
            kept = {one.pid for one in server.workers()} == before and len(server.masters()) == 1
    named = [line.strip() for line in said.splitlines() if FILE in line and f"{LINE}" in line]
    print(f"a bad rulebook offered: {tally}")
    print(f"  roll refused: {not rolled}; the old workers stayed: {kept}")
    print(f"  the command: {named[0] if named else 'names neither file nor line'}")
    return not rolled and kept and tally.errors == 0 and tally.repeated == 0 and bool(named)
