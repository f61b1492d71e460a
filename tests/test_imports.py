"""Imports point down: from floor to floor, from folder to folder inside a floor, and never in a circle."""

import ast
from pathlib import Path

import pytest

from tests.support.places import ROOT

# From the ground up. A module may import what stands on its own line or below it.
FLOORS = (
    ("addresses", "errors", "extra", "json_object", "kept", "places", "version"),
    ("physics",),
    ("units",),
    ("rulebook",),
    ("evaluation",),
    ("catalog",),
    ("advice", "bulk", "dyno"),
    ("web",),
    ("__main__", "app", "commands", "settings", "shipping", "wsgi"),
)
# The folders of a floor in the order of its pipeline; the longest name that a module begins with counts.
INSIDE = {
    "evaluation": (
        ("known", "request", "stopwatch"),
        ("reading",),
        ("planning",),
        ("running",),
        ("judging",),
        ("reporting",),
        ("evaluate",),
        ("sweep", "speed_ranges"),
        ("speed_words",),
        ("examples", "many", "passed", "speed_curves"),
    ),
    "rulebook": (
        ("digest", "names"),
        ("files",),
        ("formulas.docstring", "formulas.formula", "formulas.functions", "formulas.kinds"),
        ("input", "model"),
        ("slot",),
        ("check",),
        ("formulas",),
        ("draft", "rulebook"),
        ("worded",),
        ("read",),
        ("parse",),
        ("verify",),
        ("load",),
    ),
}
# These know nothing of each other.
APART = ("advice", "bulk", "dyno")


def imports_of(folder: Path) -> dict[str, set[str]]:
    """Of every module of `service` the modules of it that it imports, without `service.`."""
    sources = {
        ".".join(path.relative_to(folder).with_suffix("").parts).removesuffix(".__init__"): path
        for path in folder.rglob("*.py")
        if path != folder / "__init__.py"
    }
    return {module: imported(path, sources) for module, path in sources.items()}


def imported(path: Path, modules) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are written in full"
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
        elif isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
    ours = {name.removeprefix("service.") for name in names if name.startswith("service.")}
    return {name if name in modules else name.rpartition(".")[0] for name in ours} - {""}


def upward(arrows, ranks) -> list[str]:
    """The arrows that point up, each with the places of both ends."""
    return [
        f"{module} (place {rank(module, ranks)}) imports {target} (place {rank(target, ranks)})"
        for module, target in arrows
        if rank(module, ranks) < rank(target, ranks)
    ]


def rank(module: str, layers) -> int:
    """The place of the longest name that a module begins with."""
    places = {name: place for place, names in enumerate(layers) for name in names}
    parts = module.split(".")
    beginnings = [".".join(parts[:count]) for count in range(len(parts), 0, -1)]
    place = next((places[beginning] for beginning in beginnings if beginning in places), None)
    assert place is not None, f"{module} has no place: name it in tests/test_imports.py"
    return place


@pytest.fixture(scope="module")
def imports():
    return imports_of(ROOT / "service")


@pytest.fixture(scope="module")
def arrows(imports):
    return sorted((module, target) for module, targets in imports.items() for target in targets)


def test_from_floor_to_floor(arrows):
    assert upward(arrows, FLOORS) == []


def test_what_stands_beside_each_other_is_apart(arrows):
    heads = [(module.partition(".")[0], target.partition(".")[0], module) for module, target in arrows]
    assert [
        f"{module} imports {target}"
        for head, target, module in heads
        if head in APART and target in APART and head != target
    ] == []


@pytest.mark.parametrize("floor", INSIDE)
def test_inside_a_floor(arrows, floor):
    within = [
        (module.removeprefix(f"{floor}."), target.removeprefix(f"{floor}."))
        for module, target in arrows
        if module.startswith(f"{floor}.") and target.startswith(f"{floor}.")
    ]
    assert len(within) > 20 and upward(within, INSIDE[floor]) == []


def test_no_circles(imports):
    done, path = set(), []

    def visit(module):
        assert module not in path, " -> ".join([*path[path.index(module) :], module])
        if module not in done:
            path.append(module)
            for target in sorted(imports.get(module, ())):
                visit(target)
            path.pop()
            done.add(module)

    for module in sorted(imports):
        visit(module)
    assert len(done) > 150


@pytest.mark.parametrize(
    ("line", "complaint"),
    [
        ("from service.web.api import state", "units.units (place 2) imports web.api.state (place 7)"),
        ("import service.rulebook.load", "units.units (place 2) imports rulebook.load (place 3)"),
        ("from service.errors import Problem", None),
        ("import numpy", None),
    ],
)
def test_an_arrow_that_points_up_is_named(tmp_path, line, complaint):
    for module in ("units/units", "web/api/state", "rulebook/load", "errors"):
        (tmp_path / module).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / f"{module}.py").write_text(line if module == "units/units" else "")
    arrows = [(module, target) for module, targets in imports_of(tmp_path).items() for target in targets]
    assert upward(arrows, FLOORS) == ([complaint] if complaint else [])
