"""A rolling restart with another rulebook: every answer is the old one's or the new one's, and no request is
lost.
"""

import json
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.proof.faults.rulebooks import STRICTER, copy_of_rules, point
from tests.proof.load import Load, evaluation
from tests.support.expected import answer, app_with, questions
from tests.support.server import Server

OLD, NEW = 0, 1


def prove(seconds: float = 10.0) -> bool:
    """Print what a roll cost; true when no request was lost, the two rulebooks never mixed, and a client
    pinned to the old one is told what is loaded.
    """
    with TemporaryDirectory() as name:
        folder = Path(name)
        old, new, link = (
            copy_of_rules(folder, "old"),
            copy_of_rules(folder, "new", STRICTER),
            folder / "rules",
        )
        point(link, old)
        apps = app_with(RULES=str(old)), app_with(RULES=str(new))
        digests = [
            json.loads(answer(app, evaluation(EIGHTEEN_FIELDS))[1])["rulebook"]["digest"] for app in apps
        ]
        pinned = evaluation(EIGHTEEN_FIELDS, rulebook=digests[OLD])
        asked = questions(
            [evaluation(EIGHTEEN_FIELDS), evaluation(EIGHTEEN_FIELDS, detail="full"), pinned], *apps
        )
        with Server(folder, RULES=str(link)) as server, Load(server.port, asked, pause=0.005) as load:
            time.sleep(seconds / 3)
            point(link, new)
            begun = time.monotonic()
            rolled, said = server.roll()
            done = time.monotonic()
            all_answer = server.seconds_until_all_answer(begun)
            time.sleep(seconds / 3)
            tally = load.stop()
    by = [[one for one in tally.answers if one.which == which] for which in (OLD, NEW)]
    first_new, last_old = (
        min((one.received for one in by[NEW]), default=float("nan")),
        max((one.sent for one in by[OLD]), default=float("nan")),
    )
    told = json.loads(asked[-1].answers[NEW][1])
    says_what_is_loaded = asked[-1].answers[NEW][0] == 412 and digests[NEW] in json.dumps(told)
    print(f"a roll to a new rulebook: {tally}")
    print(
        f"  {len(by[OLD]):,} answers by the old, {len(by[NEW]):,} by the new; first new "
        f"{first_new - begun:.2f} s, last old {last_old - begun:.2f} s, command done {done - begun:.2f} s, "
        f"all new workers answer {all_answer:.2f} s after the switch; longest time without any answer "
        f"{tally.longest_silence():.2f} s"
    )
    print(
        f"  pinned to the old: 412 from the new: {says_what_is_loaded}; the command: "
        f"{said.splitlines()[-1] if said else 'said nothing'}"
    )
    kept_apart = bool(by[OLD] and by[NEW]) and begun < first_new and last_old < done
    return rolled and tally.errors == 0 and kept_apart and says_what_is_loaded
