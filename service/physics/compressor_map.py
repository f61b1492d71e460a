"""Reading a compressor map: a list of measured points, and the lines of surge and choke.

A map is a dict of lists: `points` of (flow, pressure ratio, efficiency), `surge` and perhaps `choke` of
(flow, pressure ratio); flows in kg/s, corrected to the map's own reference.
"""

from itertools import pairwise
from math import nan

CompressorMap = dict[str, tuple[tuple[float, ...], ...]]


def surge_flow(compressor_map: CompressorMap, pressure_ratio: float) -> float:
    """Flow of the surge line at a pressure ratio.

    Parameters
    ----------
    compressor_map : map
    pressure_ratio : float [-]

    Returns
    -------
    flow : float, not a number outside the ends of the line [kg/s]

    References
    ----------
    Linear interpolation, by definition.
    """
    return _flow_on(compressor_map["surge"], pressure_ratio)


def choke_flow(compressor_map: CompressorMap, pressure_ratio: float) -> float:
    """Flow of the choke line at a pressure ratio; without such a line the largest flow of the map's points.

    Parameters
    ----------
    compressor_map : map
    pressure_ratio : float [-]

    Returns
    -------
    flow : float, not a number outside the ends of the line [kg/s]

    References
    ----------
    Linear interpolation, by definition.
    """
    if compressor_map.get("choke"):
        return _flow_on(compressor_map["choke"], pressure_ratio)
    return max(flow for flow, *_ in compressor_map["points"])


def efficiency(compressor_map: CompressorMap, flow: float, pressure_ratio: float) -> float:
    """Isentropic efficiency at a flow and pressure ratio, from the map's points.

    Weighted by the inverse square of the distance, each axis over its range; exact at the points.

    Parameters
    ----------
    compressor_map : map
    flow : float [kg/s]
    pressure_ratio : float [-]

    Returns
    -------
    efficiency : float, not a number outside the rectangle of the points [-]

    Notes
    -----
    As smooth as the points are dense.

    References
    ----------
    Shepard, Proc. 23rd ACM National Conference, 1968, for the weighting (from memory).
    """
    points = compressor_map["points"]
    flows, ratios = [point[0] for point in points], [point[1] for point in points]
    if not (min(flows) <= flow <= max(flows) and min(ratios) <= pressure_ratio <= max(ratios)):
        return nan
    wide, tall = (max(axis) - min(axis) or 1.0 for axis in (flows, ratios))
    total = weighted = 0.0
    for point_flow, point_ratio, value in points:
        distance = ((flow - point_flow) / wide) ** 2 + ((pressure_ratio - point_ratio) / tall) ** 2
        if distance == 0:
            return value
        total += 1 / distance
        weighted += value / distance
    return weighted / total


def nearest_efficiency(compressor_map: CompressorMap, flow: float, pressure_ratio: float) -> float:
    """Isentropic efficiency at a flow and pressure ratio, or at the nearest edge of the map's points.

    Parameters
    ----------
    compressor_map : map
    flow : float [kg/s]
    pressure_ratio : float [-]

    Returns
    -------
    efficiency : float [-]

    Notes
    -----
    Beyond the points a real compressor is worse, so the temperature it gives reads low there.

    References
    ----------
    As `efficiency`; the edge by definition.
    """
    flows, ratios, _ = zip(*compressor_map["points"], strict=True)
    return efficiency(compressor_map, _within(flow, flows), _within(pressure_ratio, ratios))


def _within(value: float, axis: tuple[float, ...]) -> float:
    return min(max(value, min(axis)), max(axis)) if value == value else value


def _flow_on(line: tuple[tuple[float, ...], ...], pressure_ratio: float) -> float:
    ordered = sorted((ratio, flow) for flow, ratio in line)
    for (low, low_flow), (high, high_flow) in pairwise(ordered):
        if low <= pressure_ratio <= high:
            share = (pressure_ratio - low) / (high - low) if high > low else 0.0
            return low_flow + share * (high_flow - low_flow)
    return nan
