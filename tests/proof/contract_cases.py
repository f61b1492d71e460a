"""Random and systematic requests over the whole contract, by schemathesis, against the service behind
gunicorn.
"""

import re
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.support.server import ROOT, Server

LEAST = 5_000
PATIENCE = 1800


def prove(examples: int = 150) -> bool:
    """No status, header or body that the contract does not promise, and no 5xx, in at least LEAST cases."""
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
        done = subprocess.run(
            [*command, *options], cwd=folder, capture_output=True, text=True, timeout=PATIENCE, check=False
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
