"""The real rules with one file spoilt: they load, or are refused with file, line and fix. The long run is
tests/proof/rule_files.py.
"""

from random import Random

import pytest

from service.errors import Problem
from tests.proof.rule_files import BESIDE, MISTAKES, SLOWEST_MS, spoilt
from tests.proof.tally import Tally

pytestmark = pytest.mark.slow

# Kinds that are a mistake wherever they strike, and the file they are tried on; the others may come out
# harmless.
REFUSED = {
    "text for a number": "tables/fuels.yaml",
    "a tab": "quantities/air.yaml",
    "an anchor": "constants.yaml",
    "an alias": "checks/knock-margin.yaml",
    "a tag": "assumptions.yaml",
    "a merge": "inputs.yaml",
    "a line twice": "display.yaml",
    "a quote opened": "sources.yaml",
    "a bracket opened": "moments.yaml",
    "a question mark for a key": "cautions.yaml",
    "two documents": "operating_points.yaml",
    "a directive": "tables/coolants.yaml",
    "a zero byte": "quantities/fuel.yaml",
    "empty": "checks/clutch-torque.yaml",
    "not UTF-8": "cautions/uses.yaml",
    "UTF-16": "sources/uses.yaml",
    "very deep": "quantities/knock.yaml",
    "very deep by lines": "constants/ignition.yaml",
    "a million laughs": "tables/facings.yaml",
    "a scalar of a megabyte": "assumptions/driveline.yaml",
}
HARMLESS = {"a byte order mark": "inputs.yaml", "line ends of another system": "quantities/charge.yaml"}
MAY_BE_EITHER = {
    "an indent more": "quantities/intake.yaml",
    "indents swapped": "inputs.yaml",
    "another unit": "assumptions.yaml",
    "another number": "checks/injector-duty.yaml",
    "an attack in a formula": "quantities/injectors.yaml",
    "a list for it": "checks/spec-consistency.yaml",
    "a mapping for it": "quantities/engine.yaml",
    "nothing for it": "tables/wheel_materials.yaml",
    "braces of a sentence": "checks/fuel-pressure.yaml",
    "cut off": "operating_points.yaml",
}


@pytest.fixture(scope="module")
def rules():
    with spoilt() as made:
        assert made.judged("inputs.yaml", made.text["inputs.yaml"]) == (True, None)
        yield made


def outcome(rules, kind, file):
    return rules.judged(file, MISTAKES[kind](Random(1), rules.text[file]))


@pytest.mark.parametrize(("kind", "file"), REFUSED.items(), ids=REFUSED)
def test_a_mistake_is_refused_with_its_place(rules, kind, file):
    assert outcome(rules, kind, file) == (False, None)


@pytest.mark.parametrize(("kind", "file"), HARMLESS.items(), ids=HARMLESS)
def test_what_another_editor_does_is_harmless(rules, kind, file):
    assert outcome(rules, kind, file) == (True, None)


@pytest.mark.parametrize(("kind", "file"), MAY_BE_EITHER.items(), ids=MAY_BE_EITHER)
def test_a_change_loads_or_is_refused_with_its_place(rules, kind, file):
    assert outcome(rules, kind, file)[1] is None


def test_an_empty_file_beside_the_others_is_refused(rules):
    assert rules.beside("an empty file", "tables") == (False, None)


def test_a_million_laughs_are_refused_at_once(rules):
    tally = Tally()
    tally.one(lambda kind: outcome(rules, kind, "cautions.yaml"), "a million laughs")
    assert tally.worst_ns <= SLOWEST_MS * 1e6


def test_a_problem_without_a_place_is_noticed(rules):
    """The judge can fail."""
    assert (
        rules._misplaced(Problem("nowhere.yaml", 1, "is wrong.", "Fix it."))
        == "names the file 'nowhere.yaml', which is not there"
    )
    assert rules._misplaced(Problem("inputs.yaml", 0, "is wrong.", "Fix it.")).startswith("names line 0")
    assert rules._misplaced(Problem("inputs.yaml", 10**6, "is wrong.", "Fix it.")).startswith(
        "names line 1000000"
    )
    assert rules._misplaced(Problem("inputs.yaml", 1, "is wrong.", "")) == "says no fix"
    assert rules._misplaced(Problem("inputs.yaml", 1, "is wrong.", "Fix it.")) is None


@pytest.mark.parametrize("kind", [kind for kind in BESIDE if kind != "an empty file"])
def test_what_is_no_file_is_refused(rules, kind):
    assert rules.beside(kind, "tables") == (False, None)


@pytest.mark.parametrize("kind", ["a code point beyond all", "a code point beyond an integer"])
def test_an_escape_that_is_no_character_is_refused(rules, kind):
    assert outcome(rules, kind, "cautions.yaml") == (False, None)


def test_half_a_surrogate_pair_is_refused(rules):
    text = rules.text["inputs.yaml"]
    label = next(line for line in text.split("\n") if line.startswith("  label: "))
    assert rules.judged("inputs.yaml", text.replace(label, r'  label: "\ud800"', 1)) == (False, None)
