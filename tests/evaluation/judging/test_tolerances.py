"""Tolerances of a build: kept beside the numbers by identifier, refused where a point or a count
is wanted.
"""

import pytest

from service.errors import SpecError
from service.evaluation.known import Known

# NIST SP 811: 1 psi = 6894.757 Pa; 1 bar = 100 000 Pa exactly.
PSI, BAR = 6894.757, 1e5


@pytest.fixture(scope="session")
def read(real_rules):
    return real_rules.reader.read


@pytest.fixture(scope="session")
def refused(read):
    """Pointer and code of every fault of a build."""

    def faults(build):
        with pytest.raises(SpecError) as caught:
            read(build)
        return [(fault.pointer, fault.code) for fault in caught.value.faults]

    return faults


@pytest.mark.parametrize(
    ("group", "name", "written", "low", "high"),
    [
        ("induction", "boost", "13 psi ±0.5", 12.5 * PSI, 13.5 * PSI),
        ("induction", "boost", {"value": 13, "unit": "psi", "tolerance": 0.5}, 12.5 * PSI, 13.5 * PSI),
        ("induction", "boost", "1 bar ±5 %", 0.95 * BAR, 1.05 * BAR),
        ("engine", "compression_ratio", "9.3 ±0.1", 9.2, 9.4),
        ("target", "power", "450 ±10 kW", 440e3, 460e3),
    ],
)
def test_a_tolerance_stands_beside_its_number(read, group, name, written, low, high):
    known = read({group: {name: written}})
    (identifier,) = known.numbers
    assert known.tolerances == {identifier: pytest.approx((low, high), rel=1e-6)}
    assert [path for path, _ in known.understood] == [f"{group}.{name}"]


def test_a_place_is_kept_with_the_tolerance(read):
    known = read({"target": {"power": "450 ±10 whp"}})
    assert known.choices == {"target.power_at": "wheels"}
    assert len(known.tolerances) == 1


@pytest.mark.parametrize(
    "written",
    ["13 psi", "13 psi ±0", {"value": 13, "unit": "psi"}, {"value": 13, "unit": "psi", "tolerance": 0}],
)
def test_no_tolerance_none_kept(read, written):
    known = read({"induction": {"boost": written}})
    assert known.numbers and known.tolerances == Known().tolerances == {}


def test_a_text_read_before_keeps_its_tolerance(read):
    build = {"induction": {"boost": "13 psi ±0.25"}}
    assert read(build).tolerances == read(build).tolerances != {}


def test_a_plan_made_without_tolerances_does_not_serve_a_build_with_them(read):
    assert (
        read({"induction": {"boost": "13 psi"}}).key() != read({"induction": {"boost": "13 psi ±0.5"}}).key()
    )


def test_points_of_a_curve_take_none(refused):
    curve = [
        {"pressure": "3 bar ±0.1", "flow": "200 L/h"},
        {"pressure": "4 bar", "flow": {"value": 150, "unit": "L/h", "tolerance": 5}},
    ]
    place = "/build/fuel_system/pump_curve"
    assert refused({"fuel_system": {"pump_curve": curve}}) == [
        (f"{place}/0/pressure", "tolerance"),
        (f"{place}/1/flow", "tolerance"),
    ]


def test_points_of_a_map_take_none(refused):
    surge = [
        {"flow": "10 lb/min", "pressure_ratio": 1.5},
        {"flow": "20 lb/min", "pressure_ratio": "2.5 ±0.1"},
    ]
    points = [
        point | {"efficiency": 0.7}
        for point in (
            {"flow": "20 lb/min", "pressure_ratio": 1.5},
            {"flow": "30 lb/min ±1", "pressure_ratio": 2},
        )
    ]
    place = "/build/induction/compressor_map"
    assert set(refused({"induction": {"compressor_map": {"points": points, "surge": surge}}})) == {
        (f"{place}/points/1/flow", "tolerance"),
        (f"{place}/surge/1/pressure_ratio", "tolerance"),
    }


def test_counts_take_none(refused):
    assert [pointer for pointer, _ in refused({"engine": {"cylinders": "8 ±1"}})] == [
        "/build/engine/cylinders"
    ]
