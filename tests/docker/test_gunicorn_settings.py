"""gunicorn's settings read once, again on HUP, and by a successor: what workers counted stays, and no folder
is shared that another will delete.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.support.places import ROOT
from tests.support.server import clean_environment

READ = "import runpy; settings = runpy.run_path('docker/gunicorn.conf.py'); print(settings['_metrics'])"
# HUP: the same process reads the file again, with the app loaded.
AGAIN = (
    f"{READ}; import sys, pathlib; sys.modules['service.wsgi'] = sys; pathlib.Path(settings['_metrics'], "
    f"'counter_1.db').touch(); {READ}; print(pathlib.Path(settings['_metrics'], 'counter_1.db').exists())"
)
FOLDER_GONE = f"""{READ}
import shutil
from types import SimpleNamespace
shutil.rmtree(settings['_metrics'])
settings['child_exit'](SimpleNamespace(log=SimpleNamespace(exception=print)), SimpleNamespace(pid=1))
"""


@pytest.fixture
def told():
    """The lines that Python prints of some code, run at the root of the tree with these settings besides."""

    def run(code, **settings):
        return subprocess.run(
            [sys.executable, "-c", code],
            cwd=ROOT,
            env=clean_environment(**settings),
            capture_output=True,
            text=True,
            check=True,
        ).stdout.splitlines()

    return run


@pytest.mark.parametrize(
    ("host", "bound"),
    [
        ("::1", "[::1]:8077"),
        ("[::1]", "[::1]:8077"),
        ("127.0.0.1", "127.0.0.1:8077"),
        ("unix:/run/service.socket", "unix:/run/service.socket"),
    ],
)
def test_where_it_listens(told, host, bound):
    assert told("import runpy; print(runpy.run_path('docker/gunicorn.conf.py')['bind'])", HOST=host) == [
        bound
    ]


def test_a_folder_of_its_own_goes_with_the_master(told):
    (folder,) = told(READ)
    assert not Path(folder).exists()


def test_what_an_earlier_run_left_is_not_counted_again(told, tmp_path):
    (tmp_path / "counter_1.db").touch()
    told(READ, PROMETHEUS_MULTIPROC_DIR=str(tmp_path))
    assert list(tmp_path.glob("*.db")) == []


def test_a_successor_leaves_what_its_predecessor_counts(told, tmp_path):
    (tmp_path / "counter_1.db").touch()
    assert told(READ, PROMETHEUS_MULTIPROC_DIR=str(tmp_path), GUNICORN_PID="1") == [str(tmp_path)]
    assert (tmp_path / "counter_1.db").exists()


def test_read_again_it_leaves_what_its_workers_count(told):
    first, second, kept = told(AGAIN)
    assert (first == second, kept) == (True, "True")


def test_a_successor_takes_no_folder_that_its_predecessor_deletes(told, tmp_path):
    made = tmp_path / "engine-build-rules-metrics-abc"
    made.mkdir()
    (folder,) = told(READ, PROMETHEUS_MULTIPROC_DIR=str(made), GUNICORN_PID="1")
    assert folder != str(made) and made.exists()


def test_counts_that_cannot_be_kept_do_not_end_the_master(told):
    assert told(FOLDER_GONE)[-1] == "what a worker counted is lost"


def test_what_a_killed_master_left_is_tidied_up(told, tmp_path):
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait()
    memory = Path("/dev/shm") if os.access("/dev/shm", os.W_OK) else tmp_path
    dead, alive = (memory / f"engine-build-rules-metrics-{pid}-test" for pid in (gone.pid, os.getpid()))
    for folder in (dead, alive):
        folder.mkdir()
    try:
        told(READ, TMPDIR=str(tmp_path))
        assert (dead.exists(), alive.exists()) == (False, True)
    finally:
        for folder in (dead, alive):
            if folder.exists():
                folder.rmdir()


@pytest.mark.parametrize("workers", ["two", "0", "-1", "65", "2.5"])
def test_workers_are_a_whole_number(told, workers):
    with pytest.raises(subprocess.CalledProcessError) as raised:
        told(READ, WORKERS=workers)
    assert "WORKERS is" in raised.value.stderr and "Traceback" not in raised.value.stderr


@pytest.mark.parametrize("port", ["http", "-1", "65536", "80.5"])
def test_a_port_is_one_there_is(told, port):
    with pytest.raises(subprocess.CalledProcessError) as raised:
        told(READ, PORT=port)
    assert "PORT is" in raised.value.stderr and "Traceback" not in raised.value.stderr


@pytest.mark.parametrize("folder", ["/proc/x", "/dev/null/x", "/dev/null"])
def test_a_folder_of_metrics_that_cannot_be_made(told, folder):
    with pytest.raises(subprocess.CalledProcessError) as raised:
        told(READ, PROMETHEUS_MULTIPROC_DIR=folder)
    assert "PROMETHEUS_MULTIPROC_DIR is" in raised.value.stderr and "Traceback" not in raised.value.stderr
    assert "Name a folder" in raised.value.stderr and raised.value.returncode == 1


def test_a_folder_of_metrics_on_a_disk_that_may_not_be_written(tmp_path):
    if subprocess.run(["unshare", "-m", "true"], capture_output=True).returncode:
        pytest.skip("nothing may be mounted here")
    mounted = f'mount -t tmpfs -o ro tmpfs {tmp_path} && exec {sys.executable} -c "{READ}"'
    done = subprocess.run(
        ["unshare", "-m", "bash", "-c", mounted],
        cwd=ROOT,
        env=clean_environment(PROMETHEUS_MULTIPROC_DIR=str(tmp_path / "metrics")),
        capture_output=True,
        text=True,
    )
    assert done.returncode == 1 and "Traceback" not in done.stderr
    assert "Read-only file system" in done.stderr


@pytest.mark.parametrize("pidfile", ["/proc", "/nonexistent/pid", "/dev/null/pid"])
def test_a_pid_file_that_cannot_be_written(told, pidfile):
    with pytest.raises(subprocess.CalledProcessError) as raised:
        told(READ, PIDFILE=pidfile)
    assert "PIDFILE is" in raised.value.stderr and "Traceback" not in raised.value.stderr
