"""What is counted, in the Prometheus text format.

Right with several workers where PROMETHEUS_MULTIPROC_DIR is set before the first import.
"""

import os
from collections.abc import Iterable
from functools import cache

from flask import Flask
from prometheus_client import (
    CONTENT_TYPE_LATEST,
    REGISTRY,
    CollectorRegistry,
    Counter,
    Gauge,
    Histogram,
    generate_latest,
)
from prometheus_client.metrics_core import Metric
from prometheus_client.multiprocess import MultiProcessCollector

from service.web.telemetry.counts_file import use_counts_files
from service.web.telemetry.dead_workers import counted
from service.web.telemetry.record import Record

use_counts_files()
# From an echo to a long call; a few are longer.
SECONDS = (0.00025, 0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0)
# Few labels, and none that a client chooses: each process keeps a file of them.
REQUESTS = Counter(
    "engine_build_rules_requests",
    "Requests answered, by operation, status and the name of the caller's token.",
    ("operation", "status", "caller"),
)
DURATION = Histogram(
    "engine_build_rules_request_seconds",
    "Time from the first byte read to the answer made, by operation.",
    ("operation",),
    buckets=SECONDS,
)
PHASES = Counter(
    "engine_build_rules_phase_seconds", "Time spent in each phase of judging builds.", ("phase",)
)
VERDICTS = Counter("engine_build_rules_verdicts", "Builds judged, by verdict.", ("verdict",))
FOUND = Counter("engine_build_rules_found", "Builds that a check warned of or failed.", ("check", "verdict"))
LINES_LOST = Counter("engine_build_rules_log_lines_lost", "Log lines that could not be written.")
LOADED = Gauge(
    "engine_build_rules_loaded",
    "The rulebook and catalog each live worker answers with.",
    ("rulebook", "catalog"),
    multiprocess_mode="livesum",
)
MEDIA_TYPE = CONTENT_TYPE_LATEST


def announce(app: Flask) -> None:
    """Say what this process answers with; called in each worker once it is up."""
    state = app.extensions["engine-build-rules"]
    LOADED.labels(state.rulebook.digest, state.catalog.digest if state.catalog else "").set(1)


# The library looks each up under a lock; there are few, so they are kept.
_requests = cache(REQUESTS.labels)
_duration = cache(DURATION.labels)
_phases = cache(PHASES.labels)
_verdicts = cache(VERDICTS.labels)
_found = cache(FOUND.labels)


def count(record: Record, status: int, seconds: float) -> None:
    """Count one request that was answered, and the builds that it judged."""
    operation = record.operation
    _requests(operation, str(status), record.caller or "").inc()
    _duration(operation).observe(seconds)
    for phase, spent in record.watch.phases.items():
        _phases(phase).inc(spent)
    for build in record.builds_judged:
        _verdicts(build["verdict"]).inc()
        # Passes are the rest of the verdicts, and of a full spec they are sixty.
        for entry in build.get("checks", ()):
            if entry["verdict"] != "pass":
                _found(entry["check"], entry["verdict"]).inc()


def page() -> bytes:
    """Every metric of every worker, dead ones included."""
    folder = os.environ.get("PROMETHEUS_MULTIPROC_DIR")
    if not folder:
        return generate_latest(REGISTRY)
    with counted(folder) as files:
        registry = CollectorRegistry()
        registry.register(_Counted(files))
        return generate_latest(registry)


class _Counted:
    """What some files of counts hold, for the library's own writer of pages."""

    def __init__(self, files: list[str]):
        self.files = files

    def collect(self) -> Iterable[Metric]:
        merged: Iterable[Metric] = MultiProcessCollector.merge(self.files)
        return merged
