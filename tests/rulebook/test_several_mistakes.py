"""All mistakes of a folder come at once, and none that only follows from another."""

import shutil
from pathlib import Path

import pytest

from service.errors import RulebookError
from service.rulebook.load import load_rulebook
from tests.support.places import SMALL_RULES


@pytest.fixture
def rules(tmp_path):
    return Path(shutil.copytree(SMALL_RULES, tmp_path / "rules"))


def spoil(rules: Path, file: str, *changes: tuple[str, str]) -> None:
    path = rules / file
    text = path.read_text(encoding="utf-8")
    for before, after in changes:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    path.write_text(text, encoding="utf-8")


def complaints(rules: Path) -> list[tuple[str, int, str]]:
    with pytest.raises(RulebookError) as caught:
        load_rulebook(rules)
    return [(problem.file, problem.line, problem.message) for problem in caught.value.problems]


def test_mistakes_of_several_files_come_together(rules):
    spoil(rules, "constants.yaml", ("source: invented", "source: hearsay"))
    spoil(rules, "checks/hose-burst.yaml", ("caution: [burst]", "caution: [bursts]"))
    spoil(rules, "sources.yaml", ("kind: house choice", "kind: rumour"))
    assert [file for file, *_ in complaints(rules)] == [
        "checks/hose-burst.yaml",
        "constants.yaml",
        "sources.yaml",
    ]


def test_mistakes_of_one_check_come_together(rules):
    spoil(
        rules,
        "checks/hose-burst.yaml",
        ("    below: 1.5", "    below: 1.5 bar"),
        ("hose.boost: down", "hose.boost: lower"),
        ("caution: [burst]", "cautions: [burst]"),
    )
    assert [line for _, line, _ in complaints(rules)] == sorted(line for _, line, _ in complaints(rules))
    assert len(complaints(rules)) == 3


def test_what_follows_from_a_missing_entry_is_not_said(rules):
    """The quantity cannot be read, so nothing is said of the check that judges it."""
    spoil(
        rules,
        "quantities/hose.yaml",
        ("- hoses.burst_pressure / at_full", "- hoses.burst_pressure // at_full"),
    )
    [(file, _, message)] = complaints(rules)
    assert file == "quantities/hose.yaml" and "burst_margin" in message


def test_a_file_that_is_no_yaml_hides_no_mistake_elsewhere(rules):
    spoil(rules, "quantities/hose.yaml", ("burst_margin:\n", "burst_margin\n"))
    spoil(rules, "constants.yaml", ("source: invented", "source: hearsay"))
    files = [(file, line) for file, line, _ in complaints(rules)]
    assert files[0][0] == "constants.yaml" and files[1][0] == "quantities/hose.yaml" and len(files) == 2
