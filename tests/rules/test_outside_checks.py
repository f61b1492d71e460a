"""The table in DEVELOPERS.md of what each check is held against is complete, and its tests exist."""

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ROW = re.compile(r"\| ([a-z-]+) \| ([^|]+) \| (tests/\S+\.py); [^|]+ \|")


def rows():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = text.split("## Checks and what they are held against")[1].split("\n## ")[0]
    return ROW.findall(section)


def test_every_check_has_one_row(real_rules):
    assert sorted(name for name, _, _ in rows()) == sorted(real_rules.rulebook.checks)


def test_the_tests_exist(real_rules):
    for name, _, file in rows():
        assert (ROOT / file).is_file(), (name, file)


def test_the_kinds_of_source_are_those_of_the_limits(real_rules):
    for name, kinds, _ in rows():
        check = real_rules.rulebook.checks[name]
        wanted = {real_rules.rulebook.sources[bound.source].kind for level in check.limits.values() for bound in level} or {"definition"}
        assert set(kinds.split(", ")) == wanted, name
