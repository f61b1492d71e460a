"""The one table of functions a formula may call: what they take and give, and what computes them.

What a physics function takes and gives is read from its docstring; it is written nowhere else.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any

import numpy as np

from service.physics import (
    atmosphere,
    compressor_map,
    compressor_map_columns,
    curve,
    cylinder_pressure,
    knock,
    pipe_flow,
    slider_crank,
    trapped_charge,
)
from service.rulebook.formulas.docstring import Entry, entries, page

# The dimension of each unit in which registered functions take and give their numbers.
DIMENSION_OF = {
    "-": "ratio",
    "K": "temperature",
    "Pa": "pressure",
    "kg/m3": "density",
    "kg/s": "mass_flow",
    "m": "length",
    "m2/s": "viscosity",
    "m3/s": "volume_flow",
    "octane number": "octane",
    "rad": "angle",
    "rad/s": "rotational_speed",
}
SHAPES = ("curve", "map")
READINGS = ("gauge", "absolute", "difference")


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

    `rule` names how units pass through where they are not fixed: root (square root), alike (all arguments and
    the result of one kind), curve (y of the curve at x). `together`: called once with all operating points as
    a column.
    """

    name: str
    summary: str
    scalar: Callable[..., Any]
    array: Callable[..., Any]
    arguments: tuple[Argument, ...] = ()
    results: tuple[Result, ...] = ()
    rule: str | None = None
    together: bool = False

    @property
    def page(self) -> str:
        """Method, arguments, validity and source, as the function itself states them."""
        return page(self.scalar) or self.summary


def _where(condition: Any, yes: Any, no: Any) -> Any:
    with np.errstate(all="ignore"):
        return np.where(condition, yes, no)


def _minimum(first: float, second: float) -> float:
    """As numpy's: not a number if either is none, where min() would hide it."""
    return first if first < second or math.isnan(first) else second


def _maximum(first: float, second: float) -> float:
    """As _minimum."""
    return first if first > second or math.isnan(first) else second


def _power(base: float, exponent: float) -> float:
    if base < 0:
        raise ValueError("negative base")
    return float(base**exponent)


def _plain_float(function: Callable[..., Any]) -> Callable[..., float]:
    """numpy's own float type must not get into values: JSON knows it not, and arithmetic with it is slow."""

    @wraps(function)
    def call(*arguments: float) -> float:
        # Outside its domain a function gives not a number, which the run finds; that is no warning.
        with np.errstate(all="ignore"):
            return float(function(*arguments))

    return call


def _basic(
    name: str, summary: str, scalar: Callable[..., Any], array: Callable[..., Any], rule: str
) -> Function:
    """A function of ratios, or of whatever its rule lets through."""
    letters, rule_of_units = _BASIC_RULES[rule]
    arguments = tuple(Argument(letter, "ratio") for letter in letters)
    return Function(name, summary, scalar, array, arguments, (Result(name, "ratio"),), rule_of_units)


# Letters of the arguments, and the rule by which units pass.
_BASIC_RULES: dict[str, tuple[str, str | None]] = {
    "where": ("abc", "where"),
    "alike": ("ab", "alike"),
    "root": ("a", "root"),
    "ratio": ("a", None),
    "two ratios": ("ab", None),
}


def _physics(name: str, summary: str, function: Callable[..., Any]) -> Function:
    """A function of numbers, whose array form is itself."""
    return Function(name, summary, _plain_float(function), function, _arguments(function), _results(function))


def _of_a_map(name: str, summary: str, scalar: Callable[..., Any], array: Callable[..., Any]) -> Function:
    """A function that reads a compressor map, and gives plain numbers already."""
    return Function(name, summary, scalar, array, _arguments(scalar), _results(scalar))


def _together(name: str, summary: str, function: Callable[..., Any]) -> Function:
    """A function called once with all operating points."""
    return Function(
        name, summary, function, function, _arguments(function), _results(function), together=True
    )


def _of_a_curve(name: str, summary: str, scalar: Callable[..., Any], array: Callable[..., Any]) -> Function:
    """A function whose result is in the unit of the curve's y."""
    return Function(name, summary, scalar, array, _arguments(scalar), (), "curve")


def _arguments(function: Callable[..., Any]) -> tuple[Argument, ...]:
    return tuple(_argument(entry) for entry in entries(function, "Parameters"))


def _argument(entry: Entry) -> Argument:
    if entry.words in SHAPES:
        return Argument(entry.name, None, shape=entry.words)
    if entry.unit is None:
        return Argument(entry.name, None)
    return Argument(entry.name, DIMENSION_OF[entry.unit], _reading(entry))


def _results(function: Callable[..., Any]) -> tuple[Result, ...]:
    return tuple(
        Result(entry.name, DIMENSION_OF[entry.unit], _reading(entry))
        for entry in entries(function, "Returns")
        if entry.unit is not None
    )


def _reading(entry: Entry) -> str | None:
    """How a pressure is counted; other dimensions have no readings here."""
    words = entry.words.replace(",", " ").split()
    return next((word for word in READINGS if word in words), None) if entry.unit == "Pa" else None


_TABLE = [
    _basic("where", "where(a > b, value_if_so, value_if_not)", _where, _where, "where"),
    _basic("minimum", "The smaller of two values of one kind.", _minimum, np.minimum, "alike"),
    _basic("maximum", "The larger of two values of one kind.", _maximum, np.maximum, "alike"),
    _basic("sqrt", "The square root; units are halved.", math.sqrt, np.sqrt, "root"),
    _basic("exp", "e to the power of a ratio.", math.exp, np.exp, "ratio"),
    _basic("log", "The natural logarithm of a ratio.", math.log, np.log, "ratio"),
    _basic("power", "A ratio, not negative, to the power of a ratio.", _power, np.power, "two ratios"),
    _physics(
        "standard_pressure",
        "The pressure of the standard atmosphere at a height above the sea.",
        atmosphere.pressure,
    ),
    _physics(
        "dynamic_compression_ratio",
        "The compression ratio counted from the closing of the intake valve.",
        slider_crank.dynamic_compression_ratio,
    ),
    _physics(
        "volume_ratio",
        "Cylinder volume at a crank angle over its volume at bottom dead centre.",
        slider_crank.volume_ratio,
    ),
    _together(
        "knock_solution",
        "How late the burn must come on a fuel: closed-form cycle and end-gas integral, "
        "all operating points in one call.",
        knock.knock_solution,
    ),
    _physics(
        "heat_ratio",
        "Heat set free in a cycle over manifold pressure times the volume at bottom dead centre.",
        trapped_charge.heat_ratio,
    ),
    _together(
        "peak_pressure",
        "Highest cylinder pressure of the closed-form cycle and its crank angle, "
        "all operating points in one call.",
        cylinder_pressure.peak_pressure,
    ),
    _physics(
        "pipe_pressure_drop", "Pressure lost to friction along a straight pipe.", pipe_flow.pressure_drop
    ),
    _of_a_map(
        "surge_flow",
        "Flow of a compressor map's surge line at a pressure ratio.",
        compressor_map.surge_flow,
        compressor_map_columns.surge_flow,
    ),
    _of_a_map(
        "choke_flow",
        "Flow of a compressor map's choke line at a pressure ratio, or its largest flow.",
        compressor_map.choke_flow,
        compressor_map_columns.choke_flow,
    ),
    _of_a_map(
        "map_efficiency",
        "Efficiency read from a compressor map's points.",
        compressor_map.efficiency,
        compressor_map_columns.efficiency,
    ),
    _of_a_map(
        "nearest_efficiency",
        "Efficiency read from a compressor map's points, or at their nearest edge.",
        compressor_map.nearest_efficiency,
        compressor_map_columns.nearest_efficiency,
    ),
    _of_a_curve("curve_start", "The first value of a curve.", curve.curve_start, curve.curve_start),
    _of_a_curve(
        "curve_at",
        "A curve read at x, straight between its points; outside its last points unknown.",
        curve.curve_at,
        curve.curve_at_columns,
    ),
]

FUNCTIONS: dict[str, Function] = {function.name: function for function in _TABLE}
SCALAR = {function.name: function.scalar for function in _TABLE}
ARRAY = {function.name: function.array for function in _TABLE}
