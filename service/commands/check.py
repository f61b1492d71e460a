"""Validate a rules folder as the start of the service would."""

from pathlib import Path

from service.evaluation.evaluate import Evaluator
from service.evaluation.examples import run_examples
from service.evaluation.passed import keep_passed
from service.rulebook.formulas.compilers import COMPILERS
from service.rulebook.load import load_rulebooks
from service.settings import rules_folder


def check_rules(folder: Path | None) -> int:
    """Load the rules and run every worked example through both evaluators; a start then need not."""
    folder = folder or rules_folder()
    rulebooks = load_rulebooks(folder, COMPILERS)
    for rulebook in rulebooks:
        ran = run_examples(Evaluator(rulebook))
    keep_passed(folder, rulebooks)
    print(
        f"{folder}: {len(rulebook.checks)} checks, {len(rulebook.quantities)} quantities, "
        f"{len(rulebook.inputs)} inputs; {ran} worked examples pass."
    )
    print(rulebook.digest)
    return 0
