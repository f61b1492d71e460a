"""The rules in force, read once in each process, whichever test asks first."""

from functools import cache
from pathlib import Path

from service.catalog.catalog import Catalog
from service.catalog.expand import parts_of
from service.catalog.part import Part
from service.evaluation.evaluate import Evaluator
from service.evaluation.examples import run_examples
from service.rulebook.load import load_rulebook
from service.rulebook.rulebook import Rulebook
from tests.support.places import RULES


@cache
def real_rulebook(compiler: str = "compiled") -> Rulebook:
    """The rules in force under one of the two compilers."""
    return load_rulebook(RULES, compiler)


@cache
def real_evaluator(compiler: str = "compiled") -> Evaluator:
    """An evaluator over them, shared by tests that only ask."""
    return Evaluator(real_rulebook(compiler))


def parts_named(build: dict, catalog: Catalog) -> list[Part]:
    """The parts that a build names, by the kinds of part of the rules in force."""
    return parts_of(build, catalog, real_rulebook().slots)


def load_once(folder: Path, evaluator: str = "compiled") -> Rulebook:
    """`load_rulebook`, but for the rules in force only once; a folder that a test made is read anew."""
    return real_rulebook(evaluator) if folder.resolve() == RULES else load_rulebook(folder, evaluator)


def run_examples_once(evaluator: Evaluator) -> int:
    """`run_examples`, but for the rules in force only once."""
    rulebook = evaluator.rulebook
    if rulebook is not real_rulebook(rulebook.compiler.name):
        return run_examples(evaluator)
    return _real_examples(rulebook.compiler.name)


@cache
def _real_examples(compiler: str) -> int:
    return run_examples(real_evaluator(compiler))
