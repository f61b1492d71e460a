"""Counts of several workers together, those that are gone included."""

import os
import subprocess
import sys

import pytest
from prometheus_client.parser import text_string_to_metric_families

from tests.support.places import ROOT

pytestmark = pytest.mark.slow

# A worker's life: it counts, and prints nothing.
WORKER = (
    "from service.web.telemetry import metrics; "
    "[metrics.REQUESTS.labels('create_evaluation', '200', '').inc() for _ in range({count})]; "
    "metrics.DURATION.labels('create_evaluation').observe({seconds}); "
    "metrics.LOADED.labels('sha256:a', '').set(1); import os; print(os.getpid())"
)
PAGE = "from service.web.telemetry import metrics; print(metrics.page().decode())"
FOLD = "from service.web.telemetry.dead_workers import fold; fold({folder!r}, {pid})"


@pytest.fixture
def python(tmp_path):
    """Runs a line of Python with the folder of metrics set, as gunicorn's settings do."""

    def run(code):
        done = subprocess.run(
            [sys.executable, "-c", code],
            cwd=ROOT,
            env=os.environ | {"PROMETHEUS_MULTIPROC_DIR": str(tmp_path)},
            capture_output=True,
            text=True,
            check=True,
        )
        return done.stdout

    return run


@pytest.fixture
def samples(python):
    """The page as {(name, labels): value}, read by the library's own parser."""

    def read():
        return {
            (sample.name, tuple(sorted(sample.labels.items()))): sample.value
            for family in text_string_to_metric_families(python(PAGE))
            for sample in family.samples
        }

    return read


REQUESTS = (
    "engine_build_rules_requests_total",
    (("caller", ""), ("operation", "create_evaluation"), ("status", "200")),
)
TIMED = ("engine_build_rules_request_seconds_count", (("operation", "create_evaluation"),))
SUMMED = ("engine_build_rules_request_seconds_sum", (("operation", "create_evaluation"),))
QUICK = ("engine_build_rules_request_seconds_bucket", (("le", "0.001"), ("operation", "create_evaluation")))
LOADED = ("engine_build_rules_loaded", (("catalog", ""), ("rulebook", "sha256:a")))


def test_workers_are_added_up_and_the_dead_stay_counted(python, samples, tmp_path):
    pids = [
        int(python(WORKER.format(count=count, seconds=seconds)))
        for count, seconds in ((3, 0.0005), (5, 0.2), (7, 0.0004))
    ]
    together = samples()
    assert (together[REQUESTS], together[TIMED], together[QUICK], together[LOADED]) == (15, 3, 2, 3)
    assert together[SUMMED] == pytest.approx(0.2009)
    for pid in pids[:2]:
        python(FOLD.format(folder=str(tmp_path), pid=pid))
    assert {key: value for key, value in samples().items() if key != LOADED} == pytest.approx(
        {key: value for key, value in together.items() if key != LOADED}
    )
    # Only the living have a rulebook loaded.
    assert samples()[LOADED] == 1
    python(FOLD.format(folder=str(tmp_path), pid=pids[2]))
    assert samples()[REQUESTS] == 15 and LOADED not in samples()


def test_files_do_not_pile_up(python, tmp_path):
    for _ in range(3):
        python(FOLD.format(folder=str(tmp_path), pid=int(python(WORKER.format(count=1, seconds=0.1)))))
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "counter_dead.db",
        "histogram_dead.db",
        "lock",
    ]


def test_a_worker_that_is_just_starting(python, samples, tmp_path):
    python(WORKER.format(count=2, seconds=0.1))
    # The library opens a file and only then gives it a length.
    for kind in ("counter", "histogram", "gauge_livesum"):
        (tmp_path / f"{kind}_1.db").touch()
    assert samples()[REQUESTS] == 2
    # And it may be killed between the two.
    python(FOLD.format(folder=str(tmp_path), pid=1))
    assert samples()[REQUESTS] == 2


def test_a_worker_that_counted_nothing(python, samples, tmp_path):
    python(FOLD.format(folder=str(tmp_path), pid=1))
    assert REQUESTS not in samples()
