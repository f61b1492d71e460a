"""`python -m service check`: what a foreman runs after a change."""

import re
import shutil

import pytest

from service.__main__ import main
from tests.support.places import RULES

pytestmark = pytest.mark.slow


@pytest.fixture
def copy(tmp_path):
    """A copy of the rules, and a way to change one text in one file."""
    folder = shutil.copytree(RULES, tmp_path / "rules")

    def change(file, old, new):
        text = (folder / file).read_text()
        assert text.count(old) == 1, f"{file} holds {old!r} {text.count(old)} times"
        (folder / file).write_text(text.replace(old, new))
        return folder

    return change


def test_the_rules_in_force(capsys, monkeypatch):
    monkeypatch.delenv("RULES", raising=False)
    assert main(["check"]) == 0
    out = capsys.readouterr().out
    assert str(RULES) in out
    assert re.search(r"[0-9]+ checks, [0-9]+ quantities, [0-9]+ inputs; [0-9]+ worked examples pass\.", out)
    assert re.search(r"^sha256:[0-9a-f]{64}$", out, re.MULTILINE)


# What is changed, and what the message names: the file, the line's thing, the fix.
BROKEN = [
    (
        "checks/injector-duty.yaml",
        "judges: injector_duty",
        "judges: injector_dutty",
        ["checks/injector-duty.yaml", "injector_dutty"],
    ),
    (
        "checks/injector-duty.yaml",
        "injector_duty: 80 %",
        "injector_duty: 70 %",
        ["checks/injector-duty.yaml", "example", "70 %"],
    ),
    (
        "checks/injector-duty.yaml",
        "title: Injector size",
        "titel: Injector size",
        ["checks/injector-duty.yaml", "title"],
    ),
    (
        "quantities/fuel.yaml",
        "- crank_power * fuel_consumption",
        "- crank_power * fuel_consumtion",
        ["quantities/fuel.yaml", "fuel_consumtion", "fuel_consumption"],
    ),
    (
        "quantities/fuel.yaml",
        "- crank_power * fuel_consumption",
        "- crank_power + fuel_consumption",
        ["quantities/fuel.yaml", "fuel_demand"],
    ),
    (
        "quantities/fuel.yaml",
        "- crank_power * fuel_consumption",
        "- fuel_demand",
        ["quantities/fuel.yaml", "depends on itself"],
    ),
    (
        "quantities/fuel.yaml",
        "- crank_power * fuel_consumption",
        '- __import__("os").getcwd()',
        ["quantities/fuel.yaml", "fuel_demand"],
    ),
]


@pytest.mark.parametrize(("file", "old", "new", "named"), BROKEN)
def test_broken_rules(copy, capsys, file, old, new, named):
    assert main(["check", str(copy(file, old, new))]) == 1
    captured = capsys.readouterr()
    assert captured.out == ""
    assert all(word in captured.err for word in named), captured.err
    assert re.match(rf"{re.escape(file)}:[0-9]+: ", captured.err)


def test_no_folder(tmp_path, capsys):
    assert main(["check", str(tmp_path / "nowhere")]) == 1
    assert "is not a folder" in capsys.readouterr().err


def test_a_missing_file(copy, capsys):
    folder = copy("cautions.yaml", "Measure what is in doubt", "Measure what is in doubt")
    (folder / "sources.yaml").unlink()
    assert main(["check", str(folder)]) == 1
    assert "sources.yaml" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [[], ["chek"], ["compare", "one"]])
def test_a_wrong_call(arguments, capsys):
    with pytest.raises(SystemExit) as stopped:
        main(arguments)
    assert stopped.value.code == 2 and "usage" in capsys.readouterr().err


def test_who_serves_nobody_is_asked_for_no_token(monkeypatch, capsys):
    # As in the image, which listens for others.
    monkeypatch.setenv("HOST", "0.0.0.0")
    assert main(["check"]) == 0
