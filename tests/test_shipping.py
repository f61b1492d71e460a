"""The wheel: built from the tree, unpacked elsewhere, it has its rules, its demo and the same identity."""

import shutil
import subprocess
import sys
import zipfile

import pytest

from tests.support.places import ROOT
from tests.support.server import clean_environment

# What a build reads; the tree itself is left alone, since a build writes beside its sources.
SOURCES = (
    "LICENSE",
    "README.md",
    "docker",
    "openapi",
    "pyproject.toml",
    "requirements.lock",
    "rules",
    "service",
    "tests/catalog",
)
IDENTITY = "from service.places import ROOT; from service.rulebook.digest import rulebook_digest as digest"


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    tree, folder = tmp_path_factory.mktemp("tree"), tmp_path_factory.mktemp("installed")
    for source in SOURCES:
        place = tree / source
        place.parent.mkdir(parents=True, exist_ok=True)
        if (ROOT / source).is_dir():
            shutil.copytree(ROOT / source, place, ignore=shutil.ignore_patterns("__pycache__", ".examples-*"))
        else:
            shutil.copy(ROOT / source, place)
    build = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation"]
    made = subprocess.run(
        [*build, "--no-index", "--wheel-dir", str(tree), "."], cwd=tree, capture_output=True, text=True
    )
    assert made.returncode == 0, made.stderr
    (wheel,) = tree.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder)
    return folder


def python(folder, *arguments):
    """A Python that sees the unpacked wheel and nothing of the tree."""
    ran = subprocess.run(
        [sys.executable, "-P", *arguments],
        cwd=folder,
        env=clean_environment(PYTHONPATH=str(folder)),
        capture_output=True,
        text=True,
    )
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


@pytest.mark.slow
def test_the_same_rules_under_the_same_name(installed):
    printed = python(installed, "-c", f"{IDENTITY}; print(ROOT, digest(ROOT / 'rules'))")
    place, digest = printed.split()
    assert place == str(installed / "service" / "shipped")
    assert digest == python(ROOT, "-c", f"{IDENTITY}; print(digest(ROOT / 'rules'))").strip()
    assert digest in python(installed, "-m", "service", "check")


@pytest.mark.slow
def test_it_brings_what_commands_and_pages_read(installed):
    def files(folder, *ends):
        return {
            path.relative_to(folder).as_posix()
            for path in folder.rglob("*")
            if path.is_file() and path.suffix in ends
        }

    shipped = installed / "service" / "shipped"
    assert files(ROOT / "tests" / "catalog", ".yaml", ".csv") == files(
        shipped / "tests" / "catalog", ".yaml", ".csv"
    )
    pages = "service/web/pages"
    for folder in ("templates", "static"):
        ends = (".html", ".css", ".js", ".svg", ".txt")
        assert files(ROOT / pages / folder, *ends) == files(installed / pages / folder, *ends)
    assert (shipped / "docker" / "gunicorn.conf.py").is_file()
    assert "engine-build-rules = service.__main__:main" in next(
        installed.glob("*.dist-info/entry_points.txt")
    ).read_text(encoding="utf-8")
