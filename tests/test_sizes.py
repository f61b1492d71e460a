"""Functions and files of the service stay small enough to read at once; those that do not say why."""

import ast
from pathlib import Path

import pytest

from tests.support.places import ROOT

MOST_ARGUMENTS, MOST_LINES, LONGEST_FILE = 5, 40, 250
MORE_ARGUMENTS = {
    "peak_pressure": "registered: each argument is one number or list of a rule's formula",
    "knock_solution": "registered: each argument is one number or list of a rule's formula",
    "pressure_drop": "registered: each argument is one number of a rule's formula",
}
LONGER_FILES = {
    "service/rulebook/formulas/functions.py": "the table of registered functions",
    "service/units/units.py": "the table of units",
}
FILES = sorted((ROOT / "service").rglob("*.py"))


def functions(path: Path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]


def arguments(function) -> int:
    given = function.args.posonlyargs + function.args.args + function.args.kwonlyargs
    return len([argument for argument in given if argument.arg not in ("self", "cls")])


def lines(function) -> int:
    """Lines of code; the docstring, long for physics, is not counted."""
    first = function.body[0]
    docstring = first.end_lineno - first.lineno + 1 if ast.get_docstring(function) else 0
    return function.end_lineno - function.lineno + 1 - docstring


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_it_can_be_read_at_once(path):
    length = path.read_text(encoding="utf-8").count("\n")
    assert length <= LONGEST_FILE or path.relative_to(ROOT).as_posix() in LONGER_FILES
    for function in functions(path):
        assert lines(function) <= MOST_LINES, function.name
        assert arguments(function) <= MOST_ARGUMENTS or function.name in MORE_ARGUMENTS, function.name


def test_no_reason_is_left_over():
    assert {path for path in LONGER_FILES if not (ROOT / path).is_file()} == set()
    assert {function.name for path in FILES for function in functions(path)} >= MORE_ARGUMENTS.keys()
