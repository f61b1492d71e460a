"""Reading a compressor map at every entry of a column; the arithmetic is that of compressor_map.py, in the
same order.
"""

from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from service.physics.compressor_map import CompressorMap

Column = NDArray[np.float64]


def surge_flow(compressor_map: CompressorMap, pressure_ratio: ArrayLike) -> Column:
    """Flow of the surge line at each pressure ratio.

    Parameters
    ----------
    compressor_map : map
    pressure_ratio : array (n,) [-]

    Returns
    -------
    flow : array (n,), not a number outside the ends of the line [kg/s]

    References
    ----------
    Linear interpolation, by definition.
    """
    return _flow_on(compressor_map["surge"], np.asarray(pressure_ratio, float))


def choke_flow(compressor_map: CompressorMap, pressure_ratio: ArrayLike) -> Column:
    """Flow of the choke line at each pressure ratio; without such a line the largest flow of the map's
    points.

    Parameters
    ----------
    compressor_map : map
    pressure_ratio : array (n,) [-]

    Returns
    -------
    flow : array (n,), not a number outside the ends of the line [kg/s]

    References
    ----------
    Linear interpolation, by definition.
    """
    ratio = np.asarray(pressure_ratio, float)
    if compressor_map.get("choke"):
        return _flow_on(compressor_map["choke"], ratio)
    return np.full(ratio.shape, max(flow for flow, *_ in compressor_map["points"]))


def efficiency(compressor_map: CompressorMap, flow: ArrayLike, pressure_ratio: ArrayLike) -> Column:
    """Isentropic efficiency at each flow and pressure ratio, as compressor_map.efficiency.

    Parameters
    ----------
    compressor_map : map
    flow : array (n,) [kg/s]
    pressure_ratio : array (n,) [-]

    Returns
    -------
    efficiency : array (n,), not a number outside the rectangle of the points [-]

    References
    ----------
    As compressor_map.efficiency.
    """
    flow, ratio = np.asarray(flow, float), np.asarray(pressure_ratio, float)
    flows, ratios, _ = zip(*compressor_map["points"], strict=True)
    inside = (min(flows) <= flow) & (flow <= max(flows)) & (min(ratios) <= ratio) & (ratio <= max(ratios))
    wide, tall = (max(axis) - min(axis) or 1.0 for axis in (flows, ratios))
    total = weighted = np.zeros(inside.shape)
    at_a_point = np.full(inside.shape, np.nan)
    for point_flow, point_ratio, value in compressor_map["points"]:
        distance = ((flow - point_flow) / wide) ** 2 + ((ratio - point_ratio) / tall) ** 2
        at_a_point = np.where((distance == 0) & np.isnan(at_a_point), value, at_a_point)
        apart = np.where(distance == 0, 1.0, distance)
        total = total + 1 / apart
        weighted = weighted + value / apart
    found: Column = np.where(inside, np.where(np.isnan(at_a_point), weighted / total, at_a_point), np.nan)
    return found


def nearest_efficiency(compressor_map: CompressorMap, flow: ArrayLike, pressure_ratio: ArrayLike) -> Column:
    """Isentropic efficiency at each flow and pressure ratio, or at the nearest edge of the map's points.

    Parameters
    ----------
    compressor_map : map
    flow : array (n,) [kg/s]
    pressure_ratio : array (n,) [-]

    Returns
    -------
    efficiency : array (n,) [-]

    References
    ----------
    As compressor_map.nearest_efficiency.
    """
    flows, ratios, _ = zip(*compressor_map["points"], strict=True)
    return efficiency(
        compressor_map,
        np.clip(flow, min(flows), max(flows)),
        np.clip(pressure_ratio, min(ratios), max(ratios)),
    )


def _flow_on(line: tuple[tuple[float, ...], ...], ratio: Column) -> Column:
    ordered = sorted((point_ratio, flow) for flow, point_ratio in line)
    flows = np.full(ratio.shape, np.nan)
    for (low, low_flow), (high, high_flow) in pairwise(ordered):
        share = (ratio - low) / (high - low) if high > low else np.zeros(ratio.shape)
        within = (low <= ratio) & (ratio <= high) & np.isnan(flows)
        flows = np.where(within, low_flow + share * (high_flow - low_flow), flows)
    return flows
