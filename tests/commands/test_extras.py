"""What an extra brings is imported by its command and by nothing else; without it the command says so."""

import json
import subprocess
import sys

import pytest

from tests.support.places import ROOT
from tests.support.server import clean_environment

HEAVY = (
    "mcp",
    "mcp_types",
    "starlette",
    "uvicorn",
    "anyio",
    "pydantic",
    "pyarrow",
    "tqdm",
    "toktok",
    "ortools",
    "sqlalchemy",
)


def python(code, **settings):
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env=clean_environment(**settings),
        capture_output=True,
        text=True,
    )


def test_the_service_imports_no_extra():
    loaded = python("import service.wsgi, service.__main__, sys; print(*sys.modules)")
    assert loaded.returncode == 0, loaded.stderr
    assert set(HEAVY).isdisjoint(loaded.stdout.split())


@pytest.mark.parametrize(
    ("extra", "module", "command"),
    [
        ("mcp", "mcp", ["mcp"]),
        ("mcp", "uvicorn", ["mcp", "--http"]),
        ("bulk", "pyarrow", ["screen", "--builds", "a", "--out", "b"]),
        ("database", "sqlalchemy", ["catalog", "tests/catalog", "--to", "sqlite:///nowhere.db"]),
    ],
)
def test_without_it_the_command_says_what_to_install(extra, module, command):
    # As if it were not installed.
    code = (
        "import sys, importlib.util as util; find = util.find_spec;"
        f"util.find_spec = lambda name, *rest: None if name == {module!r} else find(name, *rest);"
        f"from service.__main__ import main; sys.exit(main({command!r}))"
    )
    done = python(code)
    assert done.returncode == 1 and "Traceback" not in done.stderr
    assert f"pip install 'engine-build-rules[{extra}]'" in done.stderr and module in done.stderr


@pytest.mark.parametrize(
    ("extra", "module", "example"),
    [
        ("solver", "ortools", "selection"),
        ("statistics", "scipy", "dyno-comparison"),
        ("statistics", "scipy", "solutions-pulley"),
    ],
)
def test_a_service_without_it_judges_and_says_what_is_missing(extra, module, example):
    code = (
        "import importlib.util as util; find = util.find_spec;"
        f"util.find_spec = lambda name, *rest: None if name == {module!r} else find(name, *rest);"
        "import json; from service.wsgi import app; client = app.test_client();"
        f"asked = json.load(open('openapi/examples/{example}.json'));"
        "refused = client.post(asked['path'], json=asked['request']);"
        "judged = client.post('/v1/evaluations', json={'build': {'engine': {'displacement': '5.0 L'}}});"
        "print(json.dumps([judged.status_code, refused.status_code, refused.json]))"
    )
    done = python(code, CATALOG="tests/catalog")
    assert done.returncode == 0, done.stderr
    # The others are lines of the log.
    (printed,) = [line for line in done.stdout.splitlines() if line.startswith("[")]
    judged, refused, problem = json.loads(printed)
    assert judged == 200
    assert (refused, problem["code"]) == (501, "not-installed")
    assert f"engine-build-rules[{extra}]" in problem["detail"]
