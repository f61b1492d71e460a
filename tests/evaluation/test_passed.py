"""A start runs the worked examples unless these very rules have passed them already."""

import shutil

import pytest

from service.__main__ import main
from service.errors import RulebookError
from tests.support.expected import app_with
from tests.support.places import SMALL_RULES

KEPT = ".examples-passed"


@pytest.fixture
def rules(tmp_path):
    ignored = shutil.ignore_patterns(KEPT)
    return shutil.copytree(SMALL_RULES, tmp_path / "rules", ignore=ignored)


@pytest.fixture
def ran(monkeypatch):
    """How often a start ran the examples."""
    starts = []
    monkeypatch.setattr("service.app.run_examples", starts.append)
    return starts


def break_an_example(rules):
    check = rules / "checks" / "hose-burst.yaml"
    text = check.read_text(encoding="utf-8")
    assert text.count("verdict: pass") == 1
    check.write_text(text.replace("verdict: pass", "verdict: fail"), encoding="utf-8")


def test_the_first_start_runs_them_and_the_next_need_not(rules, ran):
    for _ in range(3):
        app_with(RULES=str(rules))
    assert len(ran) == 1


def test_what_check_has_passed_a_start_takes_under_both_evaluators(rules, ran):
    assert main(["check", str(rules)]) == 0
    for evaluator in ("compiled", "reference"):
        app_with(RULES=str(rules), EVALUATOR=evaluator)
    assert ran == []


def test_a_start_vouches_for_its_own_evaluator_only(rules, ran):
    app_with(RULES=str(rules), EVALUATOR="compiled")
    app_with(RULES=str(rules), EVALUATOR="reference")
    assert len(ran) == 2


def test_check_always_runs_them(rules, monkeypatch):
    assert main(["check", str(rules)]) == 0
    evaluators = []
    monkeypatch.setattr(
        "service.commands.check.run_examples", lambda evaluator: evaluators.append(evaluator) or 1
    )
    assert main(["check", str(rules)]) == 0 and len(evaluators) == 2


def test_rules_changed_after_the_check_do_not_start(rules):
    assert main(["check", str(rules)]) == 0
    break_an_example(rules)
    for _ in range(2):
        with pytest.raises(RulebookError, match="expects the verdict fail"):
            app_with(RULES=str(rules))


def test_a_failed_check_vouches_for_nothing(rules):
    break_an_example(rules)
    assert main(["check", str(rules)]) == 1
    assert not (rules / KEPT).exists()


@pytest.mark.parametrize("content", [b"", b"\xff\x00", b"sha256:0 compiled\n"])
def test_a_file_that_says_something_else_counts_for_nothing(rules, ran, content):
    (rules / KEPT).write_bytes(content)
    app_with(RULES=str(rules))
    assert len(ran) == 1


def test_where_nothing_can_be_kept_every_start_runs_them(rules, ran):
    (rules / KEPT).mkdir()
    for _ in range(2):
        app_with(RULES=str(rules))
    assert len(ran) == 2
