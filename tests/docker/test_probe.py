"""The probe says whether the service is ready, why not, and never the token."""

import subprocess
import sys

import pytest

from tests.docker.dockerfile import ROOT
from tests.docker.upstream import listening
from tests.support.server import clean_environment, free_port


def probe(port, **settings):
    done = subprocess.run(
        [sys.executable, "docker/probe.py"],
        cwd=ROOT,
        env=clean_environment(PORT=str(port), **settings),
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.stderr == "" and done.stdout.count("\n") == 1
    return done.returncode, done.stdout.strip()


@pytest.fixture
def upstream():
    with listening() as made:
        yield made


def test_ready(upstream):
    assert probe(upstream.port) == (0, "ready")
    (arrived,) = upstream.arrived
    assert (arrived.method, arrived.path) == ("GET", "/readyz") and "authorization" not in arrived.headers


def test_answers_but_is_not_ready(upstream):
    upstream.status = 503
    assert probe(upstream.port) == (1, "not ready: status 503")


def test_it_asks_at_the_port_for_it(upstream):
    assert probe(free_port(), WATCH_PORT=str(upstream.port)) == (0, "ready")


def test_nobody_listens():
    assert probe(free_port()) == (1, "not ready: ConnectionRefusedError")
