"""`make demo`: it names the page, and leaves it open where that is asked for."""

import os
import re
import signal
import subprocess
import sys
import urllib.request

import psutil
import pytest

from tests.support.places import ROOT
from tests.support.server import clean_environment, free_port

pytestmark = pytest.mark.slow


def run(*options):
    done = subprocess.run(
        [sys.executable, "-m", "service", "demo", *options],
        cwd=ROOT,
        env=clean_environment(),
        stdout=subprocess.PIPE,
        # One that is left running keeps what it was given to complain to.
        stderr=subprocess.DEVNULL,
        text=True,
        timeout=120,
    )
    assert done.returncode == 0
    return done.stdout


def test_it_stops_and_says_how_to_see_the_page():
    port = free_port()
    assert f"The page for people is at http://127.0.0.1:{port}/ while" in run("--port", str(port))
    with pytest.raises(OSError):
        urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=5)


def test_it_is_left_running_with_its_page():
    said = run("--port", str(free_port()), "--keep")
    server = psutil.Process(int(re.search(r"`kill (\d+)` stops it", said)[1]))
    try:
        address = re.search(r"on the page: (\S+)", said)[1]
        page = urllib.request.urlopen(address, timeout=10).read().decode()
        assert "<h1" in page and "5.0 L V8" in page
    finally:
        os.kill(server.pid, signal.SIGTERM)
        psutil.wait_procs([server], timeout=30)
