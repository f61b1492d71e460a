"""What is tested is what is shipped: both locks pin the same, all by hash."""

import re
import tomllib

import pytest

from tests.docker.dockerfile import ROOT


def pins(name):
    """{package: version} of a lock."""
    return dict(re.findall(r"^([a-z0-9._-]+)==(\S+)", (ROOT / name).read_text(), re.MULTILINE))


def wanted(requirements):
    return {re.match(r"[\w.-]+", one)[0].lower().replace("_", "-") for one in requirements}


def test_the_tests_run_on_what_is_shipped():
    shipped, tested = pins("requirements.lock"), pins("tests/requirements.lock")
    assert len(shipped) >= 20 and shipped.items() <= tested.items()


def test_the_small_one_leaves_out_what_extras_bring_and_nothing_else_differs():
    small, shipped = pins("docker/small.lock"), pins("requirements.lock")
    assert small.items() <= shipped.items()
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    assert wanted(project["dependencies"]) <= small.keys()
    assert not {"ortools", "pandas", "scipy", "sqlalchemy", "psycopg"} & small.keys()


def test_everything_the_project_asks_for_is_there():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    extras = project["optional-dependencies"]
    runs = wanted(project["dependencies"] + extras["postgres"] + extras["solver"] + extras["statistics"])
    assert runs <= pins("requirements.lock").keys()
    assert wanted(one for extra in extras.values() for one in extra) <= pins("tests/requirements.lock").keys()
    # What only tests is not shipped.
    assert not wanted(extras["test"] + extras["proof"]) & pins("requirements.lock").keys()


@pytest.mark.parametrize("name", ["requirements.lock", "docker/small.lock", "tests/requirements.lock"])
def test_every_pin_has_its_hashes_and_no_place_of_its_own(name):
    text = (ROOT / name).read_text()
    entries = re.split(r"^(?=[a-z0-9._-]+==)", text, flags=re.MULTILINE)[1:]
    assert len(entries) == len(pins(name))
    assert all("--hash=sha256:" in entry for entry in entries)
    assert not re.search(r"^(-|.*(https?|file)://)", text, re.MULTILINE)
