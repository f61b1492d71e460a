"""Rolling a small app behind the settings the service ships with; the service itself is rolled under load by make proof."""

import os
import shutil
import signal
import subprocess
import sys
import urllib.request
from pathlib import Path

import psutil
import pytest

from service.__main__ import main
from service.commands.roll import roll
from service.errors import ServiceError
from tests.proof.server import free_port

ROOT = Path(__file__).resolve().parents[2]
APP = "app = lambda environ, start: (start('200 OK', []), [b{answer!r}])[1]\n"


@pytest.fixture
def running(tmp_path):
    """(folder of the app, pid file, a function that asks it)."""
    port, pidfile = free_port(), tmp_path / "pid"
    (tmp_path / "small_app.py").write_text(APP.format(answer="old"))
    command = [str(Path(sys.executable).with_name("gunicorn")), "--config", "docker/gunicorn.conf.py", "--pythonpath", str(tmp_path), "small_app:app"]
    shutil.copytree(ROOT / "rules", tmp_path / "rules")
    environment = {name: value for name, value in os.environ.items() if name != "PROMETHEUS_MULTIPROC_DIR"} | {"PORT": str(port), "WORKERS": "1", "PIDFILE": str(pidfile), "RULES": str(tmp_path / "rules"), "PYTHONDONTWRITEBYTECODE": "1"}
    with (tmp_path / "log").open("wb") as log:
        server = subprocess.Popen(command, cwd=ROOT, env=environment, stdout=log, stderr=log)

    def ask():
        return urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=10).read().decode()

    try:
        _until(ask)
        yield tmp_path, pidfile, ask
    finally:
        # Whichever masters there are by now; the app's folder is in their command lines.
        own = [one for one in psutil.process_iter() if one.status() != psutil.STATUS_ZOMBIE and str(tmp_path) in one.cmdline()]
        for one in own:
            one.kill()
        psutil.wait_procs(own, 30)
        server.wait(30)


def _until(ask):
    for _ in range(200):
        try:
            return ask()
        except OSError:
            signal.sigtimedwait([], 0.05)
    pytest.fail("gunicorn did not come up")


def test_the_new_one_takes_over_and_a_bad_one_does_not(running, capsys):
    folder, pidfile, ask = running
    first = int(pidfile.read_text())
    (folder / "small_app.py").write_text(APP.format(answer="new"))
    assert main(["roll", str(pidfile)]) == 0
    assert ask() == "new" and f"the old one (pid {first})" in capsys.readouterr().out
    second = int(pidfile.read_text())
    assert second != first and not psutil.pid_exists(first) or psutil.Process(first).status() == psutil.STATUS_ZOMBIE
    (folder / "small_app.py").write_text("raise SystemExit('no rules')")
    assert main(["roll", str(pidfile)]) == 1
    assert "did not start" in capsys.readouterr().err
    assert ask() == "new" and int(pidfile.read_text()) == second
    assert "no rules" in (folder / "log").read_text()
    with (folder / "rules" / "display.yaml").open("a") as rules:
        rules.write("bad: [\n")
    lines = len((ROOT / "rules" / "display.yaml").read_text().splitlines())
    assert main(["roll", str(pidfile)]) == 1
    said = capsys.readouterr().err
    assert said.startswith("Nothing was changed") and f"display.yaml:{lines + 2}: is not YAML" in said
    assert ask() == "new" and "usr2" not in (folder / "log").read_text().partition("no rules")[2]


def test_nothing_runs(tmp_path):
    with pytest.raises(ServiceError, match="names no running service"):
        roll(tmp_path / "pid")
    (tmp_path / "pid").write_text("not a number")
    with pytest.raises(ServiceError, match="names no running service"):
        roll(tmp_path / "pid")


def test_another_roll_is_under_way(tmp_path):
    (tmp_path / "pid").write_text(str(os.getpid()))
    (tmp_path / "pid.2").write_text("1")
    with pytest.raises(ServiceError, match="another roll"):
        roll(tmp_path / "pid")


def test_the_service_of_another_user(tmp_path, monkeypatch):
    (tmp_path / "pid").write_text(str(os.getpid()))

    def refused(path):
        raise PermissionError(path)

    monkeypatch.setattr(Path, "read_bytes", refused)
    with pytest.raises(ServiceError, match="another user"):
        roll(tmp_path / "pid")
