"""Files of builds: rows a second, resident memory while the file grows, and two processes against one."""

import multiprocessing
import tempfile
import time
from pathlib import Path

import numpy
import psutil
import pyarrow
import pyarrow.parquet as parquet
from dask.distributed import Client, LocalCluster

from service.bulk.screen import ROWS_OF_A_BATCH, screen, screen_on_cluster
from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.support.places import RULES

MIB = 1024 * 1024
SIZES = (100_000, 1_000_000)
ON_A_CLUSTER, KNOCK_ROWS = 1_000_000, 40_000


def report() -> None:
    """A process of its own for each size, so that its memory is that of the file alone."""
    with tempfile.TemporaryDirectory() as folder:
        for rows in SIZES:
            source = builds(Path(folder) / f"{rows}.parquet", rows)
            pipe, end = multiprocessing.get_context("spawn").Pipe()
            process = multiprocessing.get_context("spawn").Process(target=_screen, args=(source, end))
            process.start()
            cpu, wall, memory = pipe.recv()
            process.join()
            print(
                f"screen of {rows} rows, seven columns: {rows / cpu:.0f} rows a second of CPU, "
                f"{rows / wall:.0f} by the clock, resident after the first, middle and last batch "
                f"{', '.join(f'{memory[place] / MIB:.0f}' for place in (0, len(memory) // 2, -1))} MB"
            )
        few = _piece(0, ON_A_CLUSTER)
        _clusters("seven columns", few, Path(folder))
        _clusters("eighteen fields, knock in every row", _with_knock(KNOCK_ROWS), Path(folder))


def builds(path: Path, rows: int) -> Path:
    """A file of seven columns, written piece by piece."""
    with parquet.ParquetWriter(path, _piece(0, 1).schema) as writer:
        for start in range(0, rows, ROWS_OF_A_BATCH):
            writer.write_table(_piece(start, min(ROWS_OF_A_BATCH, rows - start)))
    return path


def _piece(start: int, rows: int) -> pyarrow.Table:
    numbers = numpy.arange(start, start + rows)
    table = {
        "id": [f"B{number}" for number in numbers],
        "engine.cylinders": [8] * rows,
        "fuel_system.injector_flow": [f"{30 + number % 60} lb/h" for number in numbers],
        "fuel_system.pump_flow": [f"{150 + number % 300} L/h" for number in numbers],
        "clutch.torque_rating": [f"{300 + number % 500} N.m" for number in numbers],
        "target.power": [f"{250 + number % 400} hp" for number in numbers],
        "target.torque": [f"{350 + number % 300} N.m" for number in numbers],
    }
    return pyarrow.table(table)


def _screen(source: Path, end) -> None:
    """Times the file once the rules are loaded; reads resident memory after each batch."""
    screen(builds(source.with_name("small.parquet"), 200), source.with_name("out.parquet"), RULES)
    memory = []

    def watched(batches):
        for batch in batches:
            yield batch
            memory.append(psutil.Process().memory_info().rss)

    cpu, wall = time.process_time(), time.perf_counter()
    screen(source, source.with_name("out.parquet"), RULES, progress=watched)
    end.send((time.process_time() - cpu, time.perf_counter() - wall, memory))


def _with_knock(rows: int) -> pyarrow.Table:
    """The build of eighteen fields at as many boosts as there are rows."""
    fields = {
        f"{group}.{name}": value
        for group, named in EIGHTEEN_FIELDS.items()
        if isinstance(named, dict)
        for name, value in named.items()
    }
    columns = {path: [value] * rows for path, value in fields.items()}
    columns["induction.boost"] = [f"{6 + 8 * row / rows:.6f} psi" for row in range(rows)]
    return pyarrow.table(columns)


def _clusters(title: str, rows: pyarrow.Table, folder: Path) -> None:
    """One process and two, with the rules loaded in each before the clock starts."""
    rates = []
    source, small, out = (folder / f"{name}.parquet" for name in ("source", "small", "out"))
    parquet.write_table(rows, source)
    parquet.write_table(rows.slice(0, 2_000), small)
    for workers in (1, 2):
        with (
            LocalCluster(
                n_workers=workers, threads_per_worker=1, processes=True, dashboard_address=None
            ) as cluster,
            Client(cluster) as client,
        ):
            screen_on_cluster(small, out, RULES, client, rows=100)
            start = time.perf_counter()
            judged = screen_on_cluster(source, out, RULES, client, min(ROWS_OF_A_BATCH, rows.num_rows // 20))
            rates.append(judged / (time.perf_counter() - start))
    print(
        f"screen over a cluster, {title}, {rows.num_rows} rows: one process {rates[0]:.0f} rows a second, "
        f"two {rates[1]:.0f}, {rates[1] / rates[0]:.2f} times"
    )
