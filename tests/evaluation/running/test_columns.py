"""A run over columns gives, entry by entry, what a run over floats gives."""

import shutil
from math import isnan
from pathlib import Path

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from service.errors import SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.planning.plan import make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.running.columns import run_columns
from service.evaluation.running.run import run_plan
from service.rulebook.load import load_rulebook
from service.rulebook.names import identifier
from tests.support.places import WINCH_RULES

numpy_remarks = pytest.mark.filterwarnings("ignore::RuntimeWarning")
UNSHRUNK = [Phase.explicit, Phase.generate]


def entries_and_columns(evaluator, known, columns, names):
    """For each wanted name the values of one run over floats for each entry, and the column of one run for
    all.
    """
    slots = evaluator.rulebook.graph.slots
    length = len(next(iter(columns.values())))
    known.numbers |= {name: float(column[0]) for name, column in columns.items()}
    plan = make_plan(Resolution(evaluator.rulebook, known), (), names)
    at_once = run_columns(plan, known, slots, columns)
    runs = []
    for entry in range(length):
        known.numbers |= {name: float(column[entry]) for name, column in columns.items()}
        values, failed = run_plan(plan, known, slots).figures
        runs.append([np.nan if slot in failed else value for slot, value in enumerate(values)])
    pairs = {}
    for name, slot in slots.items():
        if isinstance(at_once[slot], (int, float, np.ndarray)):
            pairs[name] = (
                [values[slot] for values in runs],
                np.broadcast_to(np.asarray(at_once[slot], float), (length,)),
            )
    return pairs


def assert_same(pairs):
    for name, (one_by_one, column) in pairs.items():
        assert column == pytest.approx(one_by_one, rel=1e-12, abs=0, nan_ok=True), name


@pytest.mark.slow
@numpy_remarks
@given(data=st.data())
@settings(max_examples=40, phases=UNSHRUNK)
def test_random_builds(both, builds, data):
    build = data.draw(builds)
    for evaluator in both:
        try:
            known = evaluator.reader.read(build)
        except SpecError:
            return
        if not known.numbers:
            return
        # Every third number becomes a column around what was said.
        varied = sorted(known.numbers)[::3]
        shares = np.array([0.5, 0.9, 1.0, 1.3, 2.0])
        columns = {
            name: known.numbers[name] * np.roll(shares, position) for position, name in enumerate(varied)
        }
        assert_same(entries_and_columns(evaluator, known, columns, ()))


COMPRESSOR_MAP = {
    "points": [
        {"flow": f"{flow} kg/s", "pressure_ratio": ratio, "efficiency": efficiency}
        for flow, ratio, efficiency in ((0.1, 1.2, 0.6), (0.2, 2.0, 0.75), (0.35, 1.4, 0.7), (0.3, 2.6, 0.65))
    ],
    "surge": [{"flow": "0.05 kg/s", "pressure_ratio": 1.2}, {"flow": "0.15 kg/s", "pressure_ratio": 2.6}],
    "choke": [{"flow": "0.4 kg/s", "pressure_ratio": 1.2}, {"flow": "0.38 kg/s", "pressure_ratio": 2.6}],
}
TURBO = {
    "usage": "street",
    "engine": {
        "bore": "86 mm",
        "stroke": "86 mm",
        "cylinders": 4,
        "rod_length": "146 mm",
        "compression_ratio": 9,
        "chamber_design": "four_valve",
        "peak_power_speed": "6000 rpm",
        "peak_torque_speed": "4000 rpm",
        "top_ring_gap": "0.5 mm",
    },
    "induction": {"kind": "turbo", "boost": "1 bar", "compressor_map": COMPRESSOR_MAP},
    "charge_cooling": {"kind": "air"},
    "fuel": {"grade": "premium_98_ron"},
    "conditions": {"altitude": "0 m"},
}


@pytest.fixture
def turbo(both):
    """Pairs of entry and column for this build with some numbers varied."""
    return lambda columns, names: [
        entries_and_columns(
            evaluator,
            evaluator.reader.read(TURBO),
            {identifier(name): np.asarray(column, float) for name, column in columns.items()},
            tuple(names),
        )
        for evaluator in both
    ]


def test_a_map_is_read_entry_by_entry(turbo):
    # At 2.5 bar the pressure ratio lies beyond the lines of the map.
    for pairs in turbo(
        {"induction.boost": [0.4e5, 0.9e5, 1.2e5, 2.5e5]},
        ("surge_margin__at__peak_power", "choke_share", "compressor_point_efficiency"),
    ):
        assert_same(pairs)
        for name in ("surge_margin__at__peak_power", "choke_share", "compressor_point_efficiency"):
            assert np.isnan(pairs[name][1]).tolist() == [False, False, False, True], name


def test_where_takes_the_branch_of_each_entry(turbo):
    # Ring gap by boost bands of 8, 15 and 22 psi, from memory: 0.0045, 0.0055, 0.0060, 0.0068 of the bore;
    # 0.0015 without boost, from workshop manuals.
    psi = 6894.757293168361
    for pairs in turbo({"induction.boost": np.array([0, 5, 10, 20, 30]) * psi}, ("ring_gap_factor",)):
        assert_same(pairs)
        assert pairs["ring_gap_factor"][1] == pytest.approx([0.0015, 0.0045, 0.0055, 0.0060, 0.0068])


@numpy_remarks
@pytest.mark.parametrize(
    ("name", "column", "quantity"),
    [
        # A rod of half the stroke cannot turn; a compression ratio of one leaves no clearance.
        ("engine.rod_length", [0.146, 0.043, 0.15, 0.02], "knock_limited_phasing__at__peak_torque"),
        ("engine.compression_ratio", [9.0, 1.0, 10.0, 0.5], "knock_limited_phasing__at__peak_torque"),
        # The standard atmosphere is known from -2 to 11 km.
        ("conditions.altitude", [0.0, 12_000.0, 1000.0, -3000.0], "manifold_pressure__at__peak_power"),
    ],
)
def test_an_entry_out_of_domain_is_nan_alone(turbo, name, column, quantity):
    for pairs in turbo({name: column}, (quantity,)):
        assert_same(pairs)
        assert np.isnan(pairs[quantity][1]).tolist() == [False, True, False, True]


def test_a_column_of_one(turbo):
    for pairs in turbo({"induction.boost": [0.9e5]}, ("surge_margin__at__peak_power", "ring_gap_factor")):
        assert_same(pairs)
        assert not isnan(pairs["surge_margin__at__peak_power"][1][0])


@pytest.fixture
def where_rules(tmp_path):
    """The winch with a quantity that looks at the stretch only where the pull is large."""
    folder = Path(shutil.copytree(WINCH_RULES, tmp_path / "rules"))
    quantities = folder / "quantities" / "lifting.yaml"
    quantities.write_text(
        quantities.read_text()
        + (
            "watched_stretch:\n  label: Stretch that counts\n  dimension: length\n  routes:\n"
            "    - where(pull > rope.strength, stretch, load.clearance)\n  source: invented\n"
        )
    )
    return [Evaluator(load_rulebook(folder, name)) for name in ("compiled", "reference")]


def test_a_missing_value_is_missing_even_where_it_is_not_looked_at(where_rules):
    stretch = [{"pull": "10 N", "length": "1 mm"}, {"pull": "20 N", "length": "2 mm"}]
    for evaluator in where_rules:
        known = evaluator.reader.read(
            {"load": {"force": "10 N", "clearance": "1 m"}, "rope": {"stretch": stretch, "strength": "15 N"}}
        )
        pairs = entries_and_columns(
            evaluator, known, {"load__force": np.array([12.0, 18.0, 5.0, 25.0])}, ("watched_stretch",)
        )
        assert_same(pairs)
        # 18 N is past 15 N: 1.8 mm by hand. The chart holds for 10 to 20 N.
        assert pairs["watched_stretch"][1] == pytest.approx([1.0, 0.0018, np.nan, np.nan], nan_ok=True)
