"""Rolling a small app behind the settings the service ships with; the service itself is rolled under load by
make proof.
"""

import http.client
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from service.__main__ import main
from service.commands.roll import roll
from service.errors import ServiceError
from tests.support.places import RULES
from tests.support.server import Server

pytestmark = pytest.mark.slow

APP = "app = lambda environ, start: (start('200 OK', []), [b{answer!r}])[1]\n"


@pytest.fixture
def running(tmp_path):
    """(folder of the app, the server)."""
    (tmp_path / "small_app.py").write_text(APP.format(answer="old"))
    shutil.copytree(RULES, tmp_path / "rules")
    with Server(
        tmp_path,
        target="small_app:app",
        ready=("/", 200),
        workers=1,
        RULES=str(tmp_path / "rules"),
        GUNICORN_CMD_ARGS=f"--pythonpath {tmp_path}",
        PYTHONDONTWRITEBYTECODE="1",
    ) as server:
        yield tmp_path, server


def ask(server):
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    connection.request("GET", "/")
    answer = connection.getresponse().read().decode()
    connection.close()
    return answer


def test_the_new_one_takes_over_and_a_bad_one_does_not(running, capsys):
    folder, server = running
    pidfile, (first,) = server.pidfile, server.masters()
    (folder / "small_app.py").write_text(APP.format(answer="new"))
    assert main(["roll", str(pidfile)]) == 0
    assert ask(server) == "new" and f"the old one (pid {first.pid})" in capsys.readouterr().out
    (second,) = server.masters()
    assert second != first
    (folder / "small_app.py").write_text("raise SystemExit('no rules')")
    assert main(["roll", str(pidfile)]) == 1
    assert "did not start" in capsys.readouterr().err
    assert ask(server) == "new" and server.masters() == [second]
    assert "no rules" in server.log
    with (folder / "rules" / "display.yaml").open("a") as rules:
        rules.write("bad: [\n")
    lines = len((RULES / "display.yaml").read_text().splitlines())
    assert main(["roll", str(pidfile)]) == 1
    said = capsys.readouterr().err
    assert said.startswith("Nothing was changed") and f"display.yaml:{lines + 2}: is not YAML" in said
    assert ask(server) == "new" and "usr2" not in server.log.partition("no rules")[2]


@pytest.fixture
def unhurt(monkeypatch):
    """No signal leaves: the pid in these tests is that of pytest."""
    monkeypatch.setattr(os, "kill", lambda *_: pytest.fail("a signal was sent"))


def test_nothing_runs(tmp_path):
    with pytest.raises(ServiceError, match="names no running service"):
        roll(tmp_path / "pid")
    (tmp_path / "pid").write_text("not a number")
    with pytest.raises(ServiceError, match="names no running service"):
        roll(tmp_path / "pid")


def test_a_service_that_ends_meanwhile(tmp_path, monkeypatch):
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait()
    (tmp_path / "pid").write_text(str(gone.pid))
    monkeypatch.setattr("service.commands.roll._runs", lambda pid: True)
    with pytest.raises(ServiceError, match="ended meanwhile"):
        roll(tmp_path / "pid")


@pytest.mark.parametrize("told", ["", "pid", "elsewhere"])
def test_a_stranger_who_got_the_number_is_left_alone(tmp_path, told):
    """SIGUSR2 ends a process that does not wait for it."""
    pidfile = tmp_path / "pid"
    environment = {"PIDFILE": str(tmp_path / told)} if told else {}
    # With the very pid file only the handler is missing.
    code = "import sys, time; print('up', flush=True); time.sleep(60)"
    command = [sys.executable, "-c", code, *(["gunicorn"] if told else [])]
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE) as stranger:
        try:
            stranger.stdout.readline()
            pidfile.write_text(str(stranger.pid))
            with pytest.raises(ServiceError, match="another program"):
                roll(pidfile)
            assert stranger.poll() is None
        finally:
            stranger.kill()


def test_another_roll_is_under_way(tmp_path, unhurt):
    (tmp_path / "pid").write_text(str(os.getpid()))
    (tmp_path / "pid.2").write_text("1")
    with pytest.raises(ServiceError, match="another roll"):
        roll(tmp_path / "pid")


def test_the_service_of_another_user(tmp_path, monkeypatch, unhurt):
    (tmp_path / "pid").write_text(str(os.getpid()))

    def refused(path):
        raise PermissionError(path)

    monkeypatch.setattr(Path, "read_bytes", refused)
    with pytest.raises(ServiceError, match="another user"):
        roll(tmp_path / "pid")
