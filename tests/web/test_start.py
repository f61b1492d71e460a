"""What a worker that has answered an evaluation has not loaded: each of these is imported by what uses it."""

import subprocess
import sys

import pytest

from tests.support.places import ROOT
from tests.support.server import clean_environment

pytestmark = pytest.mark.slow

# Distributions of dyno comparisons, the choice of parts, a catalog in a database, Parquet, several processes.
HEAVY = {"scipy", "ortools", "sqlalchemy", "pyarrow", "dask", "pandas", "pint"}
ANSWER = """
import sys
from service.wsgi import app
answer = app.test_client().post("/v1/evaluations", json={"build": {"engine": {"displacement": "5.0 L"}}})
print(answer.status_code, *sorted({name.partition(".")[0] for name in sys.modules}))
"""


def printed_by(code):
    """The words that a fresh Python prints; lines of the log may come before or after."""
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env=clean_environment(),
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    (printed,) = [line for line in done.stdout.splitlines() if not line.startswith("{")]
    return printed.split()


def test_an_evaluation_needs_no_heavy_library():
    status, *modules = printed_by(ANSWER)
    assert status == "200" and {"service", "flask", "numpy"} <= set(modules)
    assert HEAVY.isdisjoint(modules)


def test_the_collector_is_back_at_work_and_the_rulebook_out_of_its_way():
    enabled, frozen = printed_by(
        "import gc; from service.wsgi import app; print(gc.isenabled(), gc.get_freeze_count())"
    )
    assert enabled == "True" and int(frozen) > 50_000


@pytest.mark.parametrize(
    ("raised", "told"),
    [
        ("MemoryError('Unable to allocate 16 MiB')", "Unable to allocate 16 MiB."),
        ("MemoryError()", "MemoryError."),
        ("ImportError('failed to map segment')", "failed to map segment."),
    ],
)
def test_without_memory_it_does_not_start_and_says_so(raised, told):
    code = f"""
import service.app
def create_app(write=None):
    raise {raised}
service.app.create_app = create_app
import service.wsgi
"""
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env=clean_environment(), capture_output=True, text=True
    )
    assert done.returncode == 1 and "Traceback" not in done.stderr
    assert done.stderr.startswith("The service does not start.") and done.stderr.strip().endswith(told)
