"""What watches the service: a port of its own, the line at the start, and what systemd is told."""

import http.client
import json
import os
import socket
from contextlib import closing

import pytest

from service.web.access.tokens import hash_of
from tests.support.server import Server, free_port

pytestmark = pytest.mark.slow

TOKEN = "watching-" + "w" * 34


@pytest.fixture(scope="module")
def watched(tmp_path_factory):
    """A service with tokens and a second port, and the socket that systemd would listen to."""
    folder = tmp_path_factory.mktemp("watched")
    tokens = folder / "tokens.yaml"
    tokens.write_text(f"counter:\n  scopes: [evaluate, read]\n  hash: {hash_of(TOKEN)}\n", encoding="utf-8")
    tokens.chmod(0o600)
    port = free_port()
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as told:
        told.bind(str(folder / "notify"))
        told.settimeout(60)
        settings = {"TOKENS": str(tokens), "WATCH_PORT": str(port), "NOTIFY_SOCKET": str(folder / "notify")}
        with Server(folder, ready=("/healthz", 200), workers=1, **settings) as server:
            yield server, port, told


def asked(port, path, method="GET"):
    # What a request says of where it goes is its own.
    headers = {"Host": "127.0.0.1:8077", "Content-Length": "0"}
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=10)) as connection:
        connection.request(method, path, headers=headers)
        response = connection.getresponse()
        return response.status, response.read()


def test_probes_and_monitoring_need_no_token_there(watched):
    _, port, _ = watched
    for path in ("/healthz", "/readyz", "/metrics"):
        assert asked(port, path)[0] == 200, path


@pytest.mark.parametrize(
    ("path", "method"),
    [
        ("/v1/checks", "GET"),
        ("/", "GET"),
        ("/v1/evaluations", "POST"),
        ("/openapi.json", "GET"),
        ("/no", "GET"),
    ],
)
def test_nothing_else_is_answered_there(watched, path, method):
    _, port, _ = watched
    status, body = asked(port, path, method)
    assert status == 404
    # A page is refused as a page.
    assert path == "/" or json.loads(body)["code"] == "not-found"


def test_the_other_port_keeps_its_token(watched):
    server, _, _ = watched
    assert asked(server.port, "/readyz")[0] == asked(server.port, "/metrics")[0] == 401


def test_a_start_writes_a_line(watched):
    server, port, _ = watched
    (line,) = [json.loads(row) for row in server.log.splitlines() if '"operation":"start"' in row]
    assert line["level"] == "info" and line["rulebook"].startswith("sha256:")
    assert {f"http://127.0.0.1:{port}", f"http://127.0.0.1:{server.port}"} == set(line["listens"])


def told_masters(told, count):
    masters = []
    while len(masters) < count:
        words = dict(row.split("=", 1) for row in told.recv(4096).decode().splitlines())
        masters += [int(words["MAINPID"])] if "MAINPID" in words else []
    return masters


def test_systemd_is_told_which_process_to_follow_after_a_roll(watched):
    server, port, told = watched
    (first,) = told_masters(told, 1)
    assert first == server.masters()[0].pid
    server.roll()
    (second,) = told_masters(told, 1)
    assert second != first and os.path.exists(f"/proc/{second}")
    assert asked(port, "/readyz")[0] == 200
