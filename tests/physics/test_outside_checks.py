"""Every registered function is held against something outside, by a test that this register names."""

import ast
import importlib
import inspect
from typing import NamedTuple

import pytest

from service.rulebook.formulas.functions import FUNCTIONS


class OutsideCheck(NamedTuple):
    """The test that holds a function against something outside, and the source it names."""

    module: str
    test: str
    source: str


BASIC = "rulebook.formulas.test_functions"
REGISTER = {
    "where": OutsideCheck(BASIC, "test_where_chooses", "definition"),
    "minimum": OutsideCheck(BASIC, "test_smaller_and_larger", "IEEE 754-2019"),
    "maximum": OutsideCheck(BASIC, "test_smaller_and_larger", "IEEE 754-2019"),
    "sqrt": OutsideCheck(BASIC, "test_against_decimal_arithmetic", "Decimal"),
    "exp": OutsideCheck(BASIC, "test_against_decimal_arithmetic", "Decimal"),
    "log": OutsideCheck(BASIC, "test_against_decimal_arithmetic", "Decimal"),
    "power": OutsideCheck(BASIC, "test_powers_against_decimal_arithmetic", "Decimal"),
    "standard_pressure": OutsideCheck(
        "physics.test_atmosphere", "test_against_the_standard_of_1976", "ATMOSPHERE_1976"
    ),
    "dynamic_compression_ratio": OutsideCheck(
        "physics.test_slider_crank", "test_ratios_from_the_position_of_the_pins", "Plane geometry"
    ),
    "volume_ratio": OutsideCheck(
        "physics.test_slider_crank", "test_ratios_from_the_position_of_the_pins", "Plane geometry"
    ),
    "knock_solution": OutsideCheck(
        "physics.test_knock", "test_fleet_averages_do_not_knock", "US DOE Fact of the Week 940"
    ),
    "heat_ratio": OutsideCheck("physics.test_cycle", "test_heat_of_a_petrol_mixture", "Heywood"),
    "peak_pressure": OutsideCheck(
        "physics.test_cycle", "test_peak_pressure_of_natural_engines_near_the_rule", "Common practice"
    ),
    "pipe_pressure_drop": OutsideCheck(
        "physics.test_pipe_flow", "test_pressure_drop_against_fluids", "friction_factor"
    ),
    "surge_flow": OutsideCheck("physics.test_compressor_map", "test_straight_on_the_lines", "interp"),
    "choke_flow": OutsideCheck("physics.test_compressor_map", "test_straight_on_the_lines", "interp"),
    "map_efficiency": OutsideCheck(
        "physics.test_compressor_map",
        "test_the_nearer_point_weighs_with_the_inverse_square",
        "Shepard",
    ),
    "nearest_efficiency": OutsideCheck("physics.test_compressor_map", "test_the_nearest_edge", "clip"),
    "curve_start": OutsideCheck("physics.test_curve", "test_start", "interp"),
    "curve_at": OutsideCheck("physics.test_curve", "test_against_numpy", "interp"),
}
# The basic functions are called by their registered names.
CALLED = {name: FUNCTIONS[name].scalar.__name__ for name in REGISTER if REGISTER[name].module != BASIC}


def told(check):
    """The text of a test from the comment above it on, and every name that it or its helpers use."""
    module = importlib.import_module(f"tests.{check.module}")
    lines = inspect.getsource(module).splitlines()
    functions = {
        node.name: node
        for node in ast.parse("\n".join(lines)).body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
    }
    node = functions[check.test]
    first = min([node.lineno, *(decorator.lineno for decorator in node.decorator_list)]) - 1
    while first and lines[first - 1].startswith("#"):
        first -= 1
    return "\n".join(lines[first : node.end_lineno]), names_in(check.test, functions, set())


def names_in(name, functions, seen):
    seen.add(name)
    names = set()
    for node in ast.walk(functions[name]):
        match node:
            case ast.Name(id=used) | ast.Attribute(attr=used) | ast.Constant(value=str(used)):
                names.add(used)
                if used in functions and used not in seen:
                    names |= names_in(used, functions, seen)
    return names


def test_every_registered_function_has_an_outside_check():
    assert sorted(REGISTER) == sorted(FUNCTIONS)


@pytest.mark.parametrize("name", sorted(REGISTER))
def test_the_test_calls_the_function_and_names_its_source(name):
    check = REGISTER[name]
    text, names = told(check)
    assert CALLED.get(name, name) in names, f"{check.test} does not use {name}"
    assert check.source in text, f"{check.test} does not name {check.source}"
