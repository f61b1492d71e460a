"""What the image holds is enough to serve, stands for the same rulebook, and stops in good order."""

import http.client
import json
import subprocess
import sys

import pytest

from service.rulebook.digest import rulebook_digest
from service.web.access.tokens import hash_of
from tests.docker.clean_folder import image_environment, lay_out, served
from tests.docker.dockerfile import ROOT

pytestmark = pytest.mark.slow

TOKEN = "clean-folder-token"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("image")
    lay_out(made)
    return made


def test_only_what_is_wanted_is_there(folder):
    assert sorted(path.name for path in folder.iterdir()) == [
        "docker",
        "requirements.lock",
        "rules",
        "service",
        "tests",
    ]
    assert sorted(path.name for path in (folder / "docker").iterdir()) == ["gunicorn.conf.py", "probe.py"]
    assert [path.name for path in (folder / "tests").iterdir()] == ["catalog"]
    assert not list(folder.rglob("test_*")) and not list(folder.rglob("__pycache__"))


def test_the_rulebook_is_the_one_of_the_tree(folder):
    code = (
        "from pathlib import Path; import service; from service.rulebook.digest import rulebook_digest; "
        "print(service.__file__, rulebook_digest(Path('rules')))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=folder,
        env=image_environment(folder),
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    assert done.stdout.split() == [str(folder / "service" / "__init__.py"), rulebook_digest(ROOT / "rules")]


def test_nobody_is_let_in_by_default(folder):
    """The settings alone, which the app reads first of all; tests/proof/clean_install.py lets the whole
    service try.
    """
    code = "from service.settings import Settings; Settings.from_environment()"
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=folder,
        env=image_environment(folder),
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode != 0 and "no caller is authorised" in done.stderr


def test_serves_and_stops(folder, tmp_path):
    tokens = tmp_path / "tokens"
    tokens.write_text(f"both:\n  scopes: [evaluate, read]\n  hash: {hash_of(TOKEN)}\n")
    with served(folder, sys.executable, TOKENS=str(tokens)) as running:
        settings = image_environment(folder, WATCH_PORT=str(running.watch_port))
        assert (
            subprocess.run(
                [sys.executable, "docker/probe.py"],
                cwd=folder,
                env=settings,
                capture_output=True,
                text=True,
                timeout=60,
            ).stdout
            == "ready\n"
        )
        connection = http.client.HTTPConnection("127.0.0.1", running.port, timeout=60)
        build = {"parts": {"injectors": "IN-060-F09"}, "target": {"power": "600 rwhp"}}
        connection.request(
            "POST",
            "/v1/evaluations",
            json.dumps({"build": build}),
            {"Content-Type": "application/json", "Authorization": f"Bearer {TOKEN}", "Connection": "close"},
        )
        reply = connection.getresponse()
        answer = json.loads(reply.read())
        assert reply.status == 200, answer
        assert rulebook_digest(ROOT / "rules") in json.dumps(answer["rulebook"])
        running.process.terminate()
        assert running.process.wait(timeout=30) == 0
