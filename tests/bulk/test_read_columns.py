"""Rows read column by column say what each says when read alone, fields that bear on each other included."""

import pyarrow
import pytest

from service.bulk.read_columns import ColumnReader, build_of
from service.bulk.screen import screen_batch
from service.errors import SpecError
from service.evaluation.many import judge_many
from tests.support.places import RULES

ROWS = [
    {"target.power": "500 whp", "clutch.torque_rating": "300 N.m"},
    {"target.power": "500 whp", "target.power_at": "wheels", "clutch.torque_rating": "300 N.m"},
    {"target.power": "500 whp", "target.power_at": "crank", "clutch.torque_rating": "300 N.m"},
    {"target.power": "500 hp", "target.power_at": "crank", "fuel_system.injector_flow": "60 lb/h"},
    {"target.power": "500", "fuel_system.injector_flow": "60 lb/h"},
    {"fuel_system.pump_flow": "340 L/h at 58 psi", "target.power": "400 hp"},
    {
        "fuel_system.pump_flow": "340 L/h at 58 psi",
        "fuel_system.pump_rated_pressure": "43 psi",
        "target.power": "400 hp",
    },
    {"induction.kind": "natural", "induction.boost": "9 psi", "target.power": "400 hp"},
    {"target.power": "400 hp +/- 5 %", "fuel_system.injector_flow": "60 lb/h"},
    {"fuel.grade": "93 octane", "target.power": "400 hp"},
    {"usage": "drag", "target.power": "400 hp"},
    {},
    {"no_such.field": "1"},
]
NAMES = ["id", *dict.fromkeys(name for row in ROWS for name in row)]


def table(rows):
    columns = {name: [row.get(name) for row in rows] for name in NAMES if name != "id"}
    return pyarrow.table({"id": [str(place) for place in range(len(rows))]} | columns).to_batches()[0]


def alone(evaluator, row):
    """The verdict of a row by itself, and of its checks with their margins; None where it is at fault."""
    try:
        known = evaluator.read(build_of(row))
    except SpecError:
        return None
    outcomes = judge_many(evaluator, [known])[0]
    return outcomes.verdict, {entry.check: (entry.verdict, entry.margin) for entry in outcomes.checks}


@pytest.mark.parametrize("as_dictionary", [False, True])
def test_every_row_is_what_it_is_alone(real_rules, as_dictionary):
    batch = table(ROWS * 3)
    if as_dictionary:
        encoded = [column.dictionary_encode() for column in batch.columns]
        batch = pyarrow.RecordBatch.from_arrays(encoded, names=batch.schema.names)
    checks = [check.id for check in real_rules.rulebook.checks.values() if not check.collects]
    refused = 0
    for row, answer in zip(ROWS * 3, screen_batch(batch, RULES).to_pylist(), strict=True):
        expected = alone(real_rules, row)
        if expected is None:
            refused += 1
            assert answer["verdict"] == "refused" and answer["faults"], row
            continue
        verdict, judged = expected
        assert answer["verdict"] == verdict and answer["faults"] is None, row
        assert {check: answer[check] for check in checks if answer.get(check)} == {
            check: found for check, (found, _) in judged.items()
        }, row
        for check, (_, margin) in judged.items():
            assert answer[f"{check}.margin"] == pytest.approx(margin, rel=1e-12), (row, check)
    assert 0 < refused < len(ROWS) * 3


def test_a_text_is_read_once(real_rules, monkeypatch):
    read = []
    reader = ColumnReader(real_rules)
    reading = reader._reading
    monkeypatch.setattr(
        reader, "_reading", lambda path, value: read.append((path, value)) or reading(path, value)
    )
    for _ in range(2):
        alike, one_by_one = reader.alike(
            table([{"target.power": f"{400 + power % 3} hp"} for power in range(30)])
        )
        assert len(one_by_one) == 0 and sum(len(group.rows) for group in alike) == 30
    assert sorted(entry for entry in read if entry[1]) == [
        ("target.power", f"{400 + power} hp") for power in range(3)
    ]
