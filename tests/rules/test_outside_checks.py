"""Checks are held against something outside the project, by a test that really asks about it."""

import ast
from functools import cache

import pytest

from tests.support.places import ROOT
from tests.support.rules import real_rulebook

CHECKS = real_rulebook().checks


@cache
def asked_in(test: str) -> set[str]:
    """The names that a test module hands to a call, or lists for its parameters; a comment is neither."""
    tree = ast.parse((ROOT / test).read_text(encoding="utf-8"))
    return {
        constant.value
        for node in ast.walk(tree)
        if isinstance(node, (ast.Call, ast.Assign))
        for constant in ast.walk(node)
        if isinstance(constant, ast.Constant) and isinstance(constant.value, str)
    }


def subjects(check) -> set[str]:
    """The check itself, the quantities it judges, and those it shows."""
    return {check.id, *([check.judges] if check.judges else []), *check.shows} | {
        bound.judges for bound in check.bounds
    }


def test_nearly_all_name_what_they_are_held_against():
    """A foreman's own check may go without; the rest say it under `held_against:`."""
    without = [name for name, check in CHECKS.items() if not check.held_against]
    assert len(without) <= 0.05 * len(CHECKS), without


@pytest.mark.parametrize("check", CHECKS.values(), ids=CHECKS)
def test_what_is_named_is_there(check):
    assert all(outside.against and (ROOT / outside.test).is_file() for outside in check.held_against)


@pytest.mark.parametrize("check", CHECKS.values(), ids=CHECKS)
def test_the_test_asks_about_it(check):
    """A test of physics asks about a function; any other names the check or a quantity of it."""
    for outside in check.held_against:
        if not outside.test.startswith("tests/physics/"):
            assert subjects(check) & asked_in(outside.test), outside.test


def test_a_mere_mention_does_not_count(tmp_path):
    module = tmp_path / "test_mention.py"
    module.write_text('"""About injector-duty."""\n# injector-duty\n')
    assert "injector-duty" not in asked_in(str(module))
