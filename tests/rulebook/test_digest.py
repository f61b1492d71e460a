"""The identity of a rulebook changes with every byte that a verdict depends on, and with nothing else."""

import os
import re
import shutil
from pathlib import Path

import pytest

from service.rulebook.digest import rulebook_digest
from tests.support.places import SMALL_RULES


@pytest.fixture
def rules(tmp_path):
    return Path(shutil.copytree(SMALL_RULES, tmp_path / "rules"))


def test_it_is_a_sha256(rules):
    assert re.fullmatch("sha256:[0-9a-f]{64}", rulebook_digest(rules))


def test_the_same_rules_elsewhere_are_the_same_rulebook(rules):
    assert rulebook_digest(rules) == rulebook_digest(SMALL_RULES)


def test_what_is_no_rule_does_not_count(rules):
    (rules / "notes.txt").write_text("To be done.", encoding="utf-8")
    assert rulebook_digest(rules) == rulebook_digest(SMALL_RULES)


@pytest.mark.parametrize(
    "file", sorted(path.relative_to(SMALL_RULES).as_posix() for path in SMALL_RULES.rglob("*.yaml"))
)
def test_one_byte_of_any_rule_file_counts(rules, file):
    (rules / file).write_bytes((rules / file).read_bytes() + b"\n")
    assert rulebook_digest(rules) != rulebook_digest(SMALL_RULES)


def test_the_name_of_a_file_counts(rules):
    (rules / "checks" / "hose-burst.yaml").rename(rules / "checks" / "hose.yaml")
    assert rulebook_digest(rules) != rulebook_digest(SMALL_RULES)


def test_bytes_may_not_move_from_one_file_to_the_next(rules):
    first, second = rules / "assumptions.yaml", rules / "cautions.yaml"
    content = first.read_bytes()
    first.write_bytes(content[:-1])
    second.write_bytes(content[-1:] + second.read_bytes())
    assert rulebook_digest(rules) != rulebook_digest(SMALL_RULES)


@pytest.mark.parametrize("package", ["physics", "rulebook", "evaluation"])
def test_the_code_that_computes_counts(rules, tmp_path, monkeypatch, package):
    code = tmp_path / "code" / "service"
    for name in ("physics", "rulebook", "evaluation", "web"):
        (code / name).mkdir(parents=True)
        (code / name / "one.py").write_text("x = 1\n", encoding="utf-8")
    monkeypatch.setattr("service.rulebook.digest.PACKAGE", code)
    before = rulebook_digest(rules)
    (code / "web" / "one.py").write_text("x = 2\n", encoding="utf-8")
    assert rulebook_digest(rules) == before
    (code / package / "one.py").write_text("x = 2\n", encoding="utf-8")
    assert rulebook_digest(rules) != before


def test_a_pipe_in_the_folder_is_not_waited_for(rules):
    before = rulebook_digest(rules)
    os.mkfifo(rules / "pipe.yaml")
    assert rulebook_digest(rules) == before


def test_the_lock_counts(rules, tmp_path, monkeypatch):
    code = tmp_path / "code" / "service"
    code.mkdir(parents=True)
    monkeypatch.setattr("service.rulebook.digest.PACKAGE", code)
    monkeypatch.setattr("service.rulebook.digest.ROOT", code.parent)
    without = rulebook_digest(rules)
    (code.parent / "requirements.lock").write_text("numpy==2.2\n", encoding="utf-8")
    assert rulebook_digest(rules) != without
