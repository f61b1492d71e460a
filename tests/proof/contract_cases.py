"""Random and systematic requests over the whole contract, by schemathesis, against the service behind
gunicorn.
"""

import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.proof.made_up import LEAST_ANSWERED, answered
from tests.support.expected import app_with
from tests.support.places import CATALOG
from tests.support.server import ROOT, Server

LEAST = 5_000
# Of each POST, in this process, to see how many reach the computing.
COUNTED = 100
PATIENCE = 3600


def prove(examples: int = 150) -> bool:
    """No status, header or body that the contract does not promise, and no 5xx, in at least LEAST cases; and
    of each POST at least half of the requests that fit the contract end in an answer.
    """
    return _reaches_the_computing() and _keeps_its_promises(examples)


def _reaches_the_computing() -> bool:
    held = True
    for label, statuses in answered(app_with(CATALOG=str(CATALOG)), COUNTED).items():
        share = statuses[200] / statuses.total()
        held &= share >= LEAST_ANSWERED
        others = ", ".join(f"{count} {status}" for status, count in sorted(statuses.items()) if status != 200)
        print(
            f"{label}: {statuses[200]} of {statuses.total()} answered (at least half); {others or 'no other'}"
        )
    return held


def _keeps_its_promises(examples: int) -> bool:
    with (
        tempfile.TemporaryDirectory() as folder,
        Server(Path(folder), CATALOG=str(ROOT / "tests" / "catalog")) as server,
    ):
        command = [
            str(Path(sys.executable).with_name("schemathesis")),
            "--config-file",
            str(ROOT / "tests/proof/schemathesis.toml"),
            "run",
            f"http://127.0.0.1:{server.port}/openapi.json",
        ]
        options = [
            "--max-examples",
            str(examples),
            "--workers",
            "1",
            "--seed",
            "1",
            "--generation-database",
            "none",
            "--no-color",
        ]
        hooks = {"SCHEMATHESIS_HOOKS": "tests.proof.readable_requests", "PYTHONPATH": str(ROOT)}
        done = subprocess.run(
            [*command, *options],
            cwd=folder,
            env=os.environ | hooks,
            capture_output=True,
            text=True,
            timeout=PATIENCE,
            check=False,
        )
        failed_inside = sum("unforeseen error" in line for line in server.log.splitlines())
    cases = re.search(r"([\d,]+) generated, ([\d,]+) passed", done.stdout)
    if cases is None:
        print(f"contract: schemathesis did not run:\n{done.stdout[-2000:]}{done.stderr[-2000:]}")
        return False
    made, passed = (int(number.replace(",", "")) for number in cases.groups())
    print(
        f"contract: {made} cases over all operations, {passed} as promised; unforeseen errors in the log: "
        f"{failed_inside}"
    )
    if done.returncode:
        print(done.stdout[-6000:])
    return done.returncode == 0 and made == passed >= LEAST and not failed_inside
