"""The table in DEVELOPERS.md of what each check is held against is complete, and its tests exist."""

import re

from tests.support.places import ROOT

ROW = re.compile(r"\| ([a-z-]+) \| ([^|]+) \| (tests/\S+\.py); [^|]+ \|")


def rows():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = text.split("## Checks and what they are held against")[1].split("\n## ")[0]
    return ROW.findall(section)


def test_every_check_has_one_row(real_rules):
    assert sorted(name for name, _, _ in rows()) == sorted(real_rules.rulebook.checks)


def test_the_tests_exist():
    assert [(name, file) for name, _, file in rows() if not (ROOT / file).is_file()] == []


def test_the_tests_ask_about_the_check(real_rules):
    """A test outside physics names the check, the quantity it judges, or one of the quantities its limits judge."""
    astray = []
    for name, _, file in rows():
        check = real_rules.rulebook.checks[name]
        asked = {
            name,
            check.judges,
            *check.shows,
            *(bound.judges for level in check.limits.values() for bound in level),
        }
        text = (ROOT / file).read_text(encoding="utf-8")
        if not file.startswith("tests/physics/") and not any(
            one and re.search(rf"[\"']{re.escape(one)}[\"']", text) for one in asked
        ):
            astray.append((name, file))
    assert astray == []


def test_no_line_of_the_table_is_misread():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    lines = [
        line
        for line in text.split("## Checks and what they are held against")[1].split("\n## ")[0].splitlines()
        if line.startswith("|")
    ]
    assert len(lines) == len(rows()) + 2


def test_the_kinds_of_source_are_those_of_the_limits(real_rules):
    for name, kinds, _ in rows():
        check = real_rules.rulebook.checks[name]
        wanted = {
            real_rules.rulebook.sources[bound.source].kind
            for level in check.limits.values()
            for bound in level
        } or {"definition"}
        assert set(kinds.split(", ")) == wanted, name
