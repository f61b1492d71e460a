"""`python -m service compare`: what a changed limit does to builds."""

import json
import re
import shutil

import pytest

from service.__main__ import main
from tests.support.places import EXAMPLES, RULES

pytestmark = pytest.mark.slow

# 480 hp at 0.60 lb/hp/h over eight injectors of 45 lb/h is a duty of 80 %; of 40 lb/h, 90 %.
FUEL_SYSTEM = {
    "injector_count": 8,
    "injector_rated_fluid": "petrol",
    "rail_pressure": "43.5 psi",
    "injector_rated_pressure": "43.5 psi",
    "boost_referenced": "yes",
}
BUILD = {
    "target": {"power": "480 hp", "power_at": "crank"},
    "fuel": {"brake_specific_consumption": "0.60 lb/hp/h"},
}


@pytest.fixture
def builds(tmp_path):
    folder = tmp_path / "builds"
    folder.mkdir()
    contents = {
        "a-plain": BUILD | {"fuel_system": FUEL_SYSTEM | {"injector_flow": "45 lb/h"}},
        "b-request": {"build": BUILD | {"fuel_system": FUEL_SYSTEM | {"injector_flow": "40 lb/h"}}},
        "c-example": {
            "about": "",
            "status": 200,
            "request": {"build": BUILD | {"fuel_system": FUEL_SYSTEM | {"injector_flow": "60 lb/h"}}},
        },
        "d-refused": {"build": {"target": {"power": "480"}}},
    }
    for name, content in contents.items():
        (folder / f"{name}.json").write_text(json.dumps(content))
    return folder


@pytest.fixture
def stricter(tmp_path):
    """The rules with the duty that fails lowered from 92 % to 88 %, and the examples that say so left as they
    are.
    """
    folder = shutil.copytree(RULES, tmp_path / "rules")
    file = folder / "checks" / "injector-duty.yaml"
    text, count = re.subn(r"(fail:\n    above: )92 %", r"\g<1>88 %", file.read_text(), count=1)
    assert count == 1
    file.write_text(text)
    return folder


def test_nothing_changes(builds, capsys):
    assert main(["compare", str(RULES), str(RULES), "--builds", str(builds)]) == 0
    assert capsys.readouterr().out == "4 builds, 0 verdicts changed.\n"


def test_a_changed_limit(stricter, builds, capsys):
    assert main(["compare", str(RULES), str(stricter), "--builds", str(builds)]) == 1
    assert (
        capsys.readouterr().out
        == "b-request.json: injector-duty: warn -> fail\n4 builds, 1 verdict changed.\n"
    )
    assert main(["compare", str(stricter), str(RULES), "--builds", str(builds)]) == 1
    assert "injector-duty: fail -> warn" in capsys.readouterr().out


def test_a_removed_check(builds, tmp_path, capsys):
    folder = shutil.copytree(RULES, tmp_path / "rules")
    (folder / "checks" / "injector-duty.yaml").unlink()
    scope = folder / "scope.yaml"
    scope.write_text(scope.read_text().replace("    - injector-duty\n", ""))
    figures = folder / "figures.yaml"
    figures.write_text(figures.read_text().replace("{with_check: injector-duty}", "{}"))
    assert main(["compare", str(RULES), str(folder), "--builds", str(builds)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[:3] == [
        "a-plain.json: injector-duty: pass -> absent",
        "b-request.json: injector-duty: warn -> absent",
        "c-example.json: injector-duty: pass -> absent",
    ]


def test_the_examples_can_be_compared(capsys):
    assert main(["compare", str(RULES), str(RULES), "--builds", str(EXAMPLES)]) == 0
    assert capsys.readouterr().out.endswith(" 0 verdicts changed.\n")


@pytest.mark.parametrize(
    ("content", "complaint"),
    [(None, "holds no *.json files"), ("{", "is not JSON"), ("[]", "holds no request")],
)
def test_what_is_no_folder_of_builds(tmp_path, capsys, content, complaint):
    folder = tmp_path / "builds"
    folder.mkdir()
    if content is not None:
        (folder / "build.json").write_text(content)
    assert main(["compare", str(RULES), str(RULES), "--builds", str(folder)]) == 1
    assert complaint in capsys.readouterr().err
