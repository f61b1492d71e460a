"""Reading a compressor map: exact at its points, straight on its lines, unknown outside, never beyond its own
efficiencies.
"""

from math import isnan

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.physics import compressor_map_columns
from service.physics.compressor_map import choke_flow, efficiency, nearest_efficiency, surge_flow

POINTS = ((0.10, 1.2, 0.62), (0.30, 1.4, 0.70), (0.22, 2.0, 0.77), (0.18, 2.6, 0.66), (0.40, 2.4, 0.68))
MAP = {
    "points": POINTS,
    "surge": ((0.06, 1.2), (0.11, 1.8), (0.17, 2.6)),
    "choke": ((0.36, 1.2), (0.42, 2.6)),
}
point = st.tuples(st.floats(0.05, 0.6), st.floats(1.1, 4), st.floats(0.5, 0.82))


@pytest.mark.parametrize(("flow", "ratio", "expected"), POINTS)
def test_exact_at_its_points(flow, ratio, expected):
    assert efficiency(MAP, flow, ratio) == expected


@pytest.mark.parametrize(
    ("flow", "ratio"),
    [(0.09, 1.5), (0.41, 1.5), (0.2, 1.19), (0.2, 2.61), (float("nan"), 1.5), (0.2, float("nan"))],
)
def test_unknown_outside_the_points(flow, ratio):
    assert isnan(efficiency(MAP, flow, ratio))


@given(st.lists(point, min_size=2, max_size=20), st.floats(0, 1), st.floats(0, 1))
def test_within_the_efficiencies_measured(points, along, up):
    flows, ratios, values = zip(*points, strict=True)
    found = efficiency(
        {"points": tuple(points)},
        min(flows) + along * (max(flows) - min(flows)),
        min(ratios) + up * (max(ratios) - min(ratios)),
    )
    assume(not isnan(found))
    assert min(values) - 1e-12 <= found <= max(values) + 1e-12


@given(
    st.lists(point, min_size=3, max_size=10, unique_by=lambda one: one[:2]),
    st.randoms(use_true_random=False),
    st.floats(0.2, 5),
    st.floats(0.2, 5),
)
def test_neither_order_nor_units_matter(points, chance, flow_unit, ratio_unit):
    flow, ratio = (np.mean(axis) for axis in list(zip(*points, strict=True))[:2])
    shuffled = list(points)
    chance.shuffle(shuffled)
    other = {"points": tuple((one * flow_unit, two * ratio_unit, value) for one, two, value in shuffled)}
    # The mean stays inside the rectangle whatever the rounding.
    assume(
        min(p[0] for p in points) * 1.001 < flow < max(p[0] for p in points) * 0.999
        and min(p[1] for p in points) * 1.001 < ratio < max(p[1] for p in points) * 0.999
    )
    assert efficiency(other, flow * flow_unit, ratio * ratio_unit) == pytest.approx(
        efficiency({"points": tuple(points)}, flow, ratio), rel=1e-6
    )


def test_half_way_between_two_points():
    # By symmetry both weigh the same.
    assert efficiency({"points": ((0.1, 1.2, 0.6), (0.3, 2.0, 0.7))}, 0.2, 1.6) == pytest.approx(0.65)


def test_the_nearer_point_weighs_with_the_inverse_square():
    # Shepard, Proc. 23rd ACM National Conference, 1968 (from memory): inverse square of the distance. By
    # hand, three quarters along: distances 3 to 1, weights 1 to 9.
    flat = {"points": ((0.1, 1.5, 0.6), (0.3, 1.5, 0.7))}
    assert efficiency(flat, 0.25, 1.5) == pytest.approx((0.6 + 9 * 0.7) / 10)


def test_each_axis_counts_over_its_range():
    # By hand: half along and a quarter up, squared distances 5, 5 and 13 sixteenths.
    corner = {"points": ((0.1, 1.0, 0.60), (0.5, 1.0, 0.70), (0.1, 3.0, 0.80))}
    weights = np.array([1 / 5, 1 / 5, 1 / 13])
    assert efficiency(corner, 0.3, 1.5) == pytest.approx(weights @ [0.60, 0.70, 0.80] / weights.sum())


@pytest.mark.parametrize(("function", "line"), [(surge_flow, "surge"), (choke_flow, "choke")])
@pytest.mark.parametrize("backwards", [False, True])
def test_straight_on_the_lines(function, line, backwards):
    points = MAP[line][::-1] if backwards else MAP[line]
    for ratio in np.linspace(1.2, 2.6, 15):
        expected = np.interp(ratio, [ratio for _, ratio in MAP[line]], [flow for flow, _ in MAP[line]])
        assert function(MAP | {line: points}, float(ratio)) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("function", [surge_flow, choke_flow])
@pytest.mark.parametrize("ratio", [1.1999, 2.6001, 0.0, float("nan")])
def test_unknown_off_the_ends_of_the_lines(function, ratio):
    assert isnan(function(MAP, ratio))


@pytest.mark.parametrize("without", [{}, {"choke": ()}])
def test_without_a_choke_line_the_largest_flow_measured(without):
    assert choke_flow({"points": POINTS, "surge": MAP["surge"]} | without, 2.0) == 0.40


@given(st.floats(1.2, 2.6))
def test_surge_lies_below_choke(ratio):
    assert 0.06 <= surge_flow(MAP, ratio) < choke_flow(MAP, ratio) <= 0.42


@pytest.mark.parametrize(
    ("flow", "ratio"), [(0.05, 1.5), (0.9, 2.0), (0.2, 1.0), (0.2, 3.5), (0.25, 2.0), (0, 9)]
)
def test_the_nearest_edge(flow, ratio):
    # numpy: inside the points nothing changes, outside the place is clipped to them.
    flows, ratios, _ = (np.array(axis) for axis in zip(*POINTS, strict=True))
    edge = np.clip(flow, flows.min(), flows.max()), np.clip(ratio, ratios.min(), ratios.max())
    assert nearest_efficiency(MAP, flow, ratio) == pytest.approx(efficiency(MAP, *edge))
    assert isnan(nearest_efficiency(MAP, float("nan"), ratio))


@given(
    st.lists(point, min_size=2, max_size=12, unique_by=lambda one: one[:2]),
    st.lists(st.tuples(st.floats(0.0, 0.7), st.floats(1.0, 4.2)), min_size=1, max_size=20),
    st.booleans(),
)
def test_a_column_is_read_entry_by_entry(points, asked, with_choke):
    """At entries inside, outside, on the points themselves, and not a number."""
    lines = {"surge": tuple(one[:2] for one in points)} | (
        {"choke": tuple(one[:2] for one in points[::-1])} if with_choke else {}
    )
    compressor_map = {"points": tuple(points)} | lines
    asked = [*asked, *(one[:2] for one in points), (float("nan"), 1.5), (0.2, float("nan"))]
    flow, ratio = (np.array(axis) for axis in zip(*asked, strict=True))
    for alone, together in (
        (efficiency, compressor_map_columns.efficiency),
        (nearest_efficiency, compressor_map_columns.nearest_efficiency),
    ):
        one_by_one = [alone(compressor_map, *entry) for entry in asked]
        assert together(compressor_map, flow, ratio) == pytest.approx(one_by_one, rel=1e-12, nan_ok=True)
    for alone, together in (
        (surge_flow, compressor_map_columns.surge_flow),
        (choke_flow, compressor_map_columns.choke_flow),
    ):
        one_by_one = [alone(compressor_map, entry[1]) for entry in asked]
        assert together(compressor_map, ratio) == pytest.approx(one_by_one, rel=1e-12, nan_ok=True)
