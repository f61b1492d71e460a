"""Files of builds: the verdicts are those of one at a time, on one process or on two."""

import pyarrow
import pyarrow.parquet as parquet
import pytest

from service.bulk.screen import screen
from service.commands.screen import screen_builds
from service.errors import ServiceError
from service.evaluation.request import Request
from tests.support.random_builds import RULES, random_builds

pytestmark = pytest.mark.slow

COUNT = 240


def flat(build):
    rows = {}
    for group, fields in build.items():
        for name, value in fields.items() if isinstance(fields, dict) else ():
            rows[f"{group}.{name}"] = (
                f"{value['value']!r} {value['unit']}"
                if isinstance(value, dict)
                else str(value)
                if not isinstance(value, int) or isinstance(value, bool)
                else value
            )
        if not isinstance(fields, dict):
            rows[group] = fields
    return rows


@pytest.fixture(scope="module")
def builds():
    return random_builds(COUNT, seed=11)


@pytest.fixture(scope="module")
def source(builds, tmp_path_factory):
    rows = [{"id": f"B{number:04}"} | flat(build) for number, build in enumerate(builds)]
    names = list(dict.fromkeys(name for row in rows for name in row))
    path = tmp_path_factory.mktemp("screen") / "builds.parquet"
    parquet.write_table(pyarrow.table({name: [row.get(name) for row in rows] for name in names}), path)
    return path


def test_rows_are_judged_as_they_would_be_alone(real_rules, builds, source, tmp_path):
    assert screen(source, tmp_path / "out.parquet", RULES, rows=150) == COUNT
    table = parquet.read_table(tmp_path / "out.parquet")
    assert table.schema.metadata[b"rulebook"].decode() == real_rules.rulebook.digest
    for row, build in zip(table.to_pylist(), builds, strict=True):
        answer = real_rules.evaluate(Request(build, include=()))
        assert row["verdict"] == answer["verdict"] and row["faults"] is None
        verdicts = {entry["check"]: entry["verdict"] for entry in answer["checks"]}
        assert {check: row[check] for check in real_rules.rulebook.checks if row[check]} == verdicts


def test_a_bad_row_is_refused_beside_the_good_ones(tmp_path):
    path = tmp_path / "builds.parquet"
    parquet.write_table(
        pyarrow.table(
            {
                "id": ["a", "b"],
                "target.power": ["500 hp", "500"],
                "fuel_system.injector_flow": ["60 lb/h", "60 lb/h"],
                "engine.cylinders": [8, 8],
            }
        ),
        path,
    )
    screen(path, tmp_path / "out.parquet", RULES)
    good, bad = parquet.read_table(tmp_path / "out.parquet").to_pylist()
    assert good["injector-duty"] in ("pass", "warn", "fail") and good["faults"] is None
    assert (
        bad["verdict"] == "refused"
        and bad["faults"].startswith("target.power: ")
        and bad["injector-duty"] is None
    )


def test_two_processes_give_the_same_bytes(source, tmp_path):
    from dask.distributed import Client, LocalCluster

    from service.bulk.screen import screen_on_cluster

    screen(source, tmp_path / "one.parquet", RULES, rows=100)
    with (
        LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as cluster,
        Client(cluster) as client,
    ):
        assert screen_on_cluster(source, tmp_path / "two.parquet", RULES, client, rows=100) == COUNT
    assert (tmp_path / "one.parquet").read_bytes() == (tmp_path / "two.parquet").read_bytes()


def test_what_is_no_parquet_file_is_named(tmp_path):
    (tmp_path / "builds.parquet").write_text("id,target.power")
    with pytest.raises(ServiceError, match="is no Parquet file"):
        screen(tmp_path / "builds.parquet", tmp_path / "out.parquet", RULES)


def test_the_command_says_how_many(source, tmp_path, capsys):
    assert screen_builds(source, tmp_path / "out.parquet") == 0
    assert f"{COUNT} builds judged" in capsys.readouterr().out
