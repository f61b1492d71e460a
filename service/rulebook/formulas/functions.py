"""The one table of functions a formula may call: arguments with units and readings, results, and what
computes them.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps

import numpy

from service.physics import atmosphere, compressor_map, curve, cycle, knock, pipe_flow, slider_crank


@dataclass(frozen=True)
class Argument:
    """One argument: its name and what it has to be. A dimension of None is a curve or a map."""

    name: str
    dimension: str | None
    reading: str | None = None
    shape: str = "number"


@dataclass(frozen=True)
class Result:
    """One result of a function."""

    name: str
    dimension: str
    reading: str | None = None


@dataclass(frozen=True)
class Function:
    """A registered function.

    `rule` names how units pass through where they are not fixed: root (square root), alike (all arguments and the
    result of one kind), curve (y of the curve at x). `together`: called once with all operating points as a column.
    """

    name: str
    summary: str
    scalar: Callable
    array: Callable
    arguments: tuple[Argument, ...] = ()
    results: tuple[Result, ...] = ()
    rule: str | None = None
    together: bool = False

    @property
    def page(self) -> str:
        """Method, validity and source, as the physics function itself states them."""
        return "\n".join(line.strip() for line in (self.scalar.__doc__ or self.summary).strip().splitlines())


def _where(condition, yes, no):
    with numpy.errstate(all="ignore"):
        return numpy.where(condition, yes, no)


def _minimum(one: float, other: float) -> float:
    """As numpy's: not a number if either is none, where min() would hide it."""
    return one if one < other or one != one else other


def _maximum(one: float, other: float) -> float:
    """As _minimum."""
    return one if one > other or one != one else other


def _power(base: float, exponent: float) -> float:
    if base < 0:
        raise ValueError("negative base")
    return base**exponent


def _plain_float(function: Callable) -> Callable:
    """numpy's own float type must not get into values: JSON knows it not, and arithmetic with it is slow."""

    @wraps(function)
    def call(*arguments: float) -> float:
        # Outside its domain a function gives not a number, which the run finds; that is no warning.
        with numpy.errstate(all="ignore"):
            return float(function(*arguments))

    return call


def _basic(
    name: str, summary: str, scalar: Callable, array: Callable, rule: str | None, count: int = 1
) -> Function:
    ratio = "ratio"
    arguments = tuple(Argument(letter, ratio) for letter in "abc"[:count])
    return Function(name, summary, scalar, array, arguments, (Result(name, ratio),), rule)


_TABLE = [
    _basic("where", "where(a > b, value_if_so, value_if_not)", _where, _where, "where", 3),
    _basic("minimum", "The smaller of two values of one kind.", _minimum, numpy.minimum, "alike", 2),
    _basic("maximum", "The larger of two values of one kind.", _maximum, numpy.maximum, "alike", 2),
    _basic("sqrt", "The square root; units are halved.", math.sqrt, numpy.sqrt, "root"),
    _basic("exp", "e to the power of a ratio.", math.exp, numpy.exp, None),
    _basic("log", "The natural logarithm of a ratio.", math.log, numpy.log, None),
    _basic("power", "A ratio, not negative, to the power of a ratio.", _power, numpy.power, None, 2),
    Function(
        "standard_pressure",
        "The pressure of the standard atmosphere at a height above the sea.",
        _plain_float(atmosphere.pressure),
        atmosphere.pressure,
        (Argument("altitude", "length"),),
        (Result("pressure", "pressure", "absolute"),),
    ),
    Function(
        "dynamic_compression_ratio",
        "The compression ratio counted from the closing of the intake valve.",
        _plain_float(slider_crank.dynamic_compression_ratio),
        slider_crank.dynamic_compression_ratio,
        (
            Argument("compression_ratio", "ratio"),
            Argument("rod_ratio", "ratio"),
            Argument("intake_valve_closing", "angle"),
        ),
        (Result("dynamic_compression_ratio", "ratio"),),
    ),
    Function(
        "volume_ratio",
        "Cylinder volume at a crank angle over its volume at bottom dead centre.",
        _plain_float(slider_crank.volume_ratio),
        slider_crank.volume_ratio,
        (Argument("angle", "angle"), Argument("compression_ratio", "ratio"), Argument("rod_ratio", "ratio")),
        (Result("volume_ratio", "ratio"),),
    ),
    Function(
        "knock_solution",
        "How late the burn must come on a fuel: closed-form cycle and end-gas integral, all operating points in one call.",
        knock.knock_solution,
        knock.knock_solution,
        (
            Argument("manifold_pressure", "pressure", "absolute"),
            Argument("closing_temperature", "temperature"),
            Argument("octane_index", "octane"),
            Argument("compression_ratio", "ratio"),
            Argument("rod_ratio", "ratio"),
            Argument("burn_duration", "angle"),
            Argument("speed", "rotational_speed"),
            Argument("air_fuel_lambda", "ratio"),
        ),
        (
            Result("phasing", "angle"),
            Result("retard", "angle"),
            Result("octane_requirement", "octane"),
            Result("torque_share", "ratio"),
            Result("beyond", "ratio"),
        ),
        together=True,
    ),
    Function(
        "heat_ratio",
        "Heat set free in a cycle over manifold pressure times the volume at bottom dead centre.",
        _plain_float(cycle.heat_ratio),
        cycle.heat_ratio,
        (Argument("closing_temperature", "temperature"), Argument("air_fuel_lambda", "ratio")),
        (Result("heat_ratio", "ratio"),),
    ),
    Function(
        "peak_pressure",
        "Highest cylinder pressure of the closed-form cycle and its crank angle, all operating points in one call.",
        cycle.peak_pressure,
        cycle.peak_pressure,
        (
            Argument("manifold_pressure", "pressure", "absolute"),
            Argument("phasing", "angle"),
            Argument("compression_ratio", "ratio"),
            Argument("rod_ratio", "ratio"),
            Argument("burn_duration", "angle"),
            Argument("heat_ratio", "ratio"),
        ),
        (Result("pressure", "pressure", "absolute"), Result("angle", "angle")),
        together=True,
    ),
    Function(
        "pipe_pressure_drop",
        "Pressure lost to friction along a straight pipe.",
        _plain_float(pipe_flow.pressure_drop),
        pipe_flow.pressure_drop,
        (
            Argument("flow", "volume_flow"),
            Argument("bore", "length"),
            Argument("length", "length"),
            Argument("density", "density"),
            Argument("viscosity", "viscosity"),
            Argument("roughness", "length"),
        ),
        (Result("pressure_drop", "pressure", "difference"),),
    ),
    Function(
        "surge_flow",
        "Flow of a compressor map's surge line at a pressure ratio.",
        compressor_map.surge_flow,
        compressor_map.surge_flow,
        (Argument("compressor_map", None, shape="map"), Argument("pressure_ratio", "ratio")),
        (Result("flow", "mass_flow"),),
    ),
    Function(
        "choke_flow",
        "Flow of a compressor map's choke line at a pressure ratio, or its largest flow.",
        compressor_map.choke_flow,
        compressor_map.choke_flow,
        (Argument("compressor_map", None, shape="map"), Argument("pressure_ratio", "ratio")),
        (Result("flow", "mass_flow"),),
    ),
    Function(
        "map_efficiency",
        "Efficiency read from a compressor map's points.",
        compressor_map.efficiency,
        compressor_map.efficiency,
        (
            Argument("compressor_map", None, shape="map"),
            Argument("flow", "mass_flow"),
            Argument("pressure_ratio", "ratio"),
        ),
        (Result("efficiency", "ratio"),),
    ),
    Function(
        "curve_start",
        "The first value of a curve.",
        curve.curve_start,
        curve.curve_start,
        (Argument("curve", None, shape="curve"),),
        (),
        "curve",
    ),
    Function(
        "curve_at",
        "A curve read at x, straight between its points; outside its last points unknown.",
        curve.curve_at,
        curve.curve_at_columns,
        (Argument("curve", None, shape="curve"), Argument("x", None)),
        (),
        "curve",
    ),
]

FUNCTIONS: dict[str, Function] = {function.name: function for function in _TABLE}
SCALAR = {function.name: function.scalar for function in _TABLE}
ARRAY = {function.name: function.array for function in _TABLE}
