"""Sweeps, selections and screening: cost a candidate, against one at a time; rows a second and memory."""

import multiprocessing
import resource
import statistics
import tempfile
import time
from pathlib import Path

import numpy
import pyarrow
import pyarrow.parquet as parquet

from service.advice.selection import select
from service.advice.selection_request import SelectionRequest
from service.bulk.screen import screen
from service.catalog.folder import read_folder
from service.evaluation.evaluate import Evaluator
from service.evaluation.request import Request
from service.evaluation.sweep import sweep
from tests.support.places import CATALOG, RULES

CANDIDATES = 10_000
SELECTION = {
    "usage": "street",
    "engine": {
        "redline": "6500 rpm",
        "peak_power_speed": "6200 rpm",
        "peak_torque_speed": "4400 rpm",
        "chamber_design": "four_valve",
    },
    "induction": {"boost": "9 psi", "crank_pulley_diameter": "190 mm"},
    "fuel": {"grade": "premium_93_aki"},
    "fuel_system": {"rail_pressure": "43.5 psi", "boost_referenced": "yes"},
    "driveline": {"layout": "rear", "final_drive_ratio": 3.55, "tyre_radius": "330 mm"},
    "vehicle": {"mass": "1600 kg"},
    "target": {"power": "480 hp", "power_at": "crank", "torque": "430 lb-ft", "torque_at": "crank"},
}


def report(evaluator: Evaluator, rounds: int, **builds: dict) -> None:
    for title, build in builds.items():
        known = evaluator.reader.read(build)
        plan = evaluator.plan(known)
        flow = next(name for name in known.numbers if name.startswith("fuel_system__injector_flow"))
        for what, name, path in (
            ("injector flow, knock does not vary", flow, "fuel_system.injector_flow"),
            ("boost, knock varies", "induction__boost", "induction.boost"),
        ):
            column = known.numbers[name] * numpy.linspace(0.6, 1.4, CANDIDATES)
            figures = []
            for _ in range(rounds):
                together = _time(lambda: sweep(evaluator, plan, known, {name: column})) / CANDIDATES
                alone = _alone(evaluator, build, path)
                figures.append((together, alone / together))
            print(
                f"sweep of {CANDIDATES} candidates of {title}, {what}: "
                f"{1e6 * statistics.median(row[0] for row in figures):.2f} us a candidate, "
                f"{statistics.median(row[1] for row in figures):.0f} times faster than one at a time "
                f"[{min(row[1] for row in figures):.0f}..{max(row[1] for row in figures):.0f}]"
            )
    catalog = read_folder(CATALOG, evaluator.reader)
    for objective in ("cheapest", "widest_margin", "fewest_changes"):
        asked = SelectionRequest(SELECTION, tuple(catalog.slots), objective)
        first, again = (_time(lambda: select(evaluator, catalog, asked)) for _ in range(2))
        print(
            f"selection over {len(catalog.slots)} slots and {len(catalog.parts)} parts, {objective}: "
            f"{first:.2f} s, again {again:.2f} s"
        )
    _screening()


def _alone(evaluator: Evaluator, build: dict, path: str, count: int = 200) -> float:
    """Seconds an evaluation, each of another value."""
    group, _, name = path.partition(".")
    texts = [f"{10 + entry / 1000} {'psi' if name == 'boost' else 'lb/h'}" for entry in range(count)]
    requests = [
        Request({**build, group: {**build[group], name: text}}, detail="spoken", include=()) for text in texts
    ]
    start = time.process_time()
    for request in requests:
        evaluator.evaluate(request)
    return (time.process_time() - start) / count


def _time(call) -> float:
    start = time.process_time()
    call()
    return time.process_time() - start


def _screening() -> None:
    """A process of its own for each size, so that the peak of memory is that of the file alone."""
    for rows in (20_000, 100_000):
        with tempfile.TemporaryDirectory() as folder:
            source = Path(folder) / "builds.parquet"
            numbers = numpy.arange(rows)
            table = {
                "id": [f"B{number}" for number in numbers],
                "engine.cylinders": [8] * rows,
                "fuel_system.injector_flow": [f"{30 + number % 60} lb/h" for number in numbers],
                "fuel_system.pump_flow": [f"{150 + number % 300} L/h" for number in numbers],
                "clutch.torque_rating": [f"{300 + number % 500} N.m" for number in numbers],
                "target.power": [f"{250 + number % 400} hp" for number in numbers],
                "target.torque": [f"{350 + number % 300} N.m" for number in numbers],
            }
            parquet.write_table(pyarrow.table(table), source)
            pipe, end = multiprocessing.get_context("spawn").Pipe()
            process = multiprocessing.get_context("spawn").Process(target=_screen, args=(source, end))
            process.start()
            seconds, peak = pipe.recv()
            process.join()
            print(f"screen of {rows} rows: {rows / seconds:.0f} rows a second, peak memory {peak:.0f} MB")


def _screen(source: Path, end) -> None:
    start = time.perf_counter()
    screen(source, source.with_name("out.parquet"), RULES)
    end.send((time.perf_counter() - start, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024))
