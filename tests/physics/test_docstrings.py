"""What a docstring says of a physics function is true: its arguments, their units, its examples."""

import doctest
import importlib
import inspect
import pkgutil

import pytest

from service import physics
from service.physics.arrays import FloatOrArray
from service.rulebook.formulas.docstring import entries, sections
from service.rulebook.formulas.functions import DIMENSION_OF, FUNCTIONS
from service.units.units import DIMENSIONS
from tests.support.pint_units import UNIT as UNITS

UNITS.define("octane_number = []")
MODULES = [
    importlib.import_module(f"service.physics.{module.name}")
    for module in pkgutil.iter_modules(physics.__path__)
]
PUBLIC = {
    f"{module.__name__.rpartition('.')[2]}.{name}": function
    for module in MODULES
    for name, function in vars(module).items()
    if inspect.isfunction(function) and function.__module__ == module.__name__ and name[0] != "_"
}
EXAMPLES_AT_LEAST = 15


def unit(text):
    """A unit as docstrings write it: `kg/m3`, `J/(kg K)`, `octane number`, or `-`."""
    if text == "-":
        return UNITS.dimensionless
    spelled = text.replace("octane number", "octane_number").replace("m2", "m**2").replace("m3", "m**3")
    return UNITS.parse_units(spelled.replace(" ", "*"))


def test_physics_is_found():
    assert len(PUBLIC) > 50


@pytest.mark.parametrize("function", PUBLIC.values(), ids=PUBLIC)
def test_parameters_are_those_of_the_signature(function):
    assert [entry.name for entry in entries(function, "Parameters")] == list(
        inspect.signature(function).parameters
    )


@pytest.mark.parametrize("function", PUBLIC.values(), ids=PUBLIC)
def test_every_number_has_a_unit(function):
    numbers = [
        entry
        for title in ("Parameters", "Returns")
        for entry in entries(function, title)
        if entry.words.startswith(("float", "int", "array", "bool"))
    ]
    without = [entry.name for entry in numbers if entry.unit is None and "unit" not in entry.words]
    assert without == []
    assert all(unit(entry.unit) for entry in numbers if entry.unit is not None)


@pytest.mark.parametrize("function", PUBLIC.values(), ids=PUBLIC)
def test_results_and_source_are_told(function):
    assert entries(function, "Returns") and sections(function)["References"].strip()


@pytest.mark.parametrize("function", PUBLIC.values(), ids=PUBLIC)
def test_floats_and_arrays_are_told_from_floats(function):
    parameters = inspect.signature(function).parameters
    told = {entry.name: entry.words.startswith("float or array") for entry in entries(function, "Parameters")}
    assert told == {name: parameter.annotation == FloatOrArray for name, parameter in parameters.items()}


def test_examples_come_out():
    results = [doctest.testmod(module) for module in MODULES]
    assert sum(result.failed for result in results) == 0
    assert sum(result.attempted for result in results) >= EXAMPLES_AT_LEAST


@pytest.mark.parametrize("text", DIMENSION_OF)
def test_the_unit_of_a_dimension_is_its_si_unit(text):
    assert (1.0 * unit(text)).to(DIMENSIONS[DIMENSION_OF[text]].si).magnitude == 1.0


def test_registered_results_are_the_fields_of_what_is_returned():
    for function in FUNCTIONS.values():
        if function.together:
            returned = inspect.signature(function.scalar).return_annotation
            assert [result.name for result in function.results] == list(returned._fields), function.name
