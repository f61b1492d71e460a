"""The service behind gunicorn, with the settings it ships with: what a socket can do that a test client
cannot.
"""

import http.client
import json
import socket
import time

import pytest

from tests.support.server import Server

pytestmark = pytest.mark.slow

PATIENCE = 30.0
THREADS = 4
HEAD = (
    b"POST /v1/evaluations HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n"
    b"Content-Type: application/json\r\n"
)
BODY = b'{"build": {}}'
GET = b"GET /healthz HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    """The service with one worker."""
    with Server(tmp_path_factory.mktemp("gunicorn"), workers=1) as running:
        yield running


@pytest.fixture(scope="module")
def port(server):
    return server.port


def send(port, request, then_close=False):
    """(status line, headers, body) of the answer to raw bytes; a silent server fails the test by
    its timeout.
    """
    with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) as connection:
        connection.sendall(request)
        if then_close:
            connection.shutdown(socket.SHUT_WR)
        answer = b""
        while chunk := connection.recv(65536):
            answer += chunk
    head, _, body = answer.partition(b"\r\n\r\n")
    status, _, headers = head.partition(b"\r\n")
    return status, headers, body


def problem(answer, status, code):
    line, headers, body = answer
    assert line.startswith(f"HTTP/1.1 {status} ".encode()), line
    assert b"Content-Type: application/problem+json" in headers
    assert json.loads(body)["code"] == code


def test_a_build_is_judged(port):
    line, headers, body = send(port, HEAD + b"Content-Length: %d\r\n\r\n" % len(BODY) + BODY)
    assert line == b"HTTP/1.1 200 OK" and b"Content-Type: application/json" in headers
    assert json.loads(body)["verdict"] == "not_checked"


def test_chunked(port):
    answer = send(
        port, HEAD + b"Transfer-Encoding: chunked\r\n\r\n%x\r\n" % len(BODY) + BODY + b"\r\n0\r\n\r\n"
    )
    problem(answer, 411, "length-required")


def test_chunked_over_the_limit_is_not_cut(port):
    body = BODY + b" " * 70_000
    problem(
        send(port, HEAD + b"Transfer-Encoding: chunked\r\n\r\n%x\r\n" % len(body) + body + b"\r\n0\r\n\r\n"),
        411,
        "length-required",
    )


def test_a_megabyte(port):
    problem(send(port, HEAD + b"Content-Length: 1000000\r\n\r\n" + b" " * 1_000_000), 413, "body-too-large")


def test_a_megabyte_that_never_comes(port):
    problem(send(port, HEAD + b"Content-Length: 1000000\r\n\r\n" + BODY), 413, "body-too-large")


@pytest.mark.parametrize("size", [70_000, 100_000, 1_000_000])
def test_a_refusal_that_leaves_the_body_says_that_the_connection_ends(port, size):
    """A client that keeps connections would book the failure on its next call."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    try:
        for path in ("/v1/evaluations", "/v1/none"):
            connection.request("POST", path, b" " * size, {"Content-Type": "application/json"})
            response = connection.getresponse()
            assert (response.status, response.getheader("Connection")) in [(413, "close"), (404, "close")]
            response.read()
            connection.request("GET", "/healthz")
            assert connection.getresponse().read() == b'{"status":"ok"}'
    finally:
        connection.close()


def test_a_chunked_body_ends_the_connection(port):
    request = HEAD.replace(b"Connection: close\r\n", b"") + b"Transfer-Encoding: chunked\r\n\r\n"
    _, headers, _ = send(port, request + b"%x\r\n" % len(BODY) + BODY + b"\r\n0\r\n\r\n")
    assert b"Connection: close" in headers


@pytest.mark.parametrize(
    ("path", "kind"), [("/v1/none", "application/json"), ("/v1/evaluations", "text/plain")]
)
def test_a_refusal_of_a_usual_body_keeps_the_connection(port, path, kind):
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    try:
        connection.request("POST", path, b" " * 30_000, {"Content-Type": kind})
        response = connection.getresponse()
        response.read()
        assert response.getheader("Connection") == "keep-alive"
        held = connection.sock
        connection.request("GET", "/healthz")
        assert connection.getresponse().status == 200 and connection.sock is held
    finally:
        connection.close()


def test_a_length_too_short(port):
    problem(send(port, HEAD + b"Content-Length: 5\r\n\r\n" + BODY), 400, "not-json")


def test_a_length_too_long(port):
    problem(send(port, HEAD + b"Content-Length: 50\r\n\r\n" + BODY, then_close=True), 400, "body-incomplete")


def test_no_length(port):
    problem(send(port, HEAD + b"\r\n" + BODY), 400, "not-json")


@pytest.mark.parametrize(
    ("request_", "status", "code"),
    [
        (HEAD + b"Content-Length: -5\r\n\r\n" + BODY, 400, "malformed-request"),
        (HEAD + b"Content-Length: twelve\r\n\r\n" + BODY, 400, "malformed-request"),
        (HEAD + b"Content-Length: 13\r\nContent-Length: 14\r\n\r\n" + BODY, 400, "malformed-request"),
        (HEAD + b"Content-Length: 13\r\nTransfer-Encoding: chunked\r\n\r\n" + BODY, 400, "malformed-request"),
        (b"NONSENSE\r\n\r\n", 400, "malformed-request"),
        (b"GET /%s HTTP/1.1\r\nHost: localhost\r\n\r\n" % (b"a" * 5000), 414, "address-too-long"),
        (HEAD + b"Transfer-Encoding: secret\r\n\r\n" + BODY, 501, "not-implemented"),
        (HEAD + b"Expect: secret\r\n\r\n" + BODY, 417, "expectation"),
        (HEAD + b"Authorization Bearer secret\r\n\r\n" + BODY, 400, "malformed-request"),
        (b"secret\x01 / HTTP/1.1\r\nHost: localhost\r\n\r\n", 400, "malformed-request"),
        (
            b"GET /healthz HTTP/1.1\r\nHost: localhost\r\nX: " + b"a" * 10_000 + b"\r\n\r\n",
            431,
            "headers-too-large",
        ),
    ],
)
def test_what_is_no_http_is_refused_by_the_server_itself(port, server, request_, status, code):
    answer = send(port, request_)
    problem(answer, status, code)
    # Neither a client's words nor the token of one who forgot a colon, in the answer or the log.
    assert b"secret" not in answer[2].lower() and "secret" not in server.log.lower()


BEGUN = {"nothing": b"", "headers": HEAD, "body": HEAD + b"Content-Length: 13\r\n\r\n{"}


@pytest.mark.parametrize("begun", BEGUN.values(), ids=BEGUN)
def test_slow_clients_do_not_block_another(port, begun):
    # A worker has four threads; who has not sent a whole request holds none of them.
    slow = [socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) for _ in range(4 * THREADS)]
    try:
        for connection in slow:
            connection.sendall(begun)
        assert send(port, GET)[0] == b"HTTP/1.1 200 OK"
    finally:
        for connection in slow:
            connection.close()


def test_one_connection_many_requests(port):
    request = HEAD.replace(b"Connection: close\r\n", b"") + b"Content-Length: %d\r\n\r\n" % len(BODY) + BODY
    with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) as connection:
        stream = connection.makefile("rb")
        bodies = set()
        for _ in range(3):
            connection.sendall(request)
            assert stream.readline() == b"HTTP/1.1 200 OK\r\n"
            length = 0
            while (line := stream.readline()) != b"\r\n":
                name, _, value = line.partition(b":")
                length = int(value) if name == b"Content-Length" else length
            bodies.add(stream.read(length))
        assert len(bodies) == 1


@pytest.mark.parametrize("cut", [0, 1, 150, 200])
def test_requests_sent_without_waiting_are_all_answered(port, cut):
    """Three in one piece, or in two with a pause between that the server sees."""
    request = HEAD.replace(b"Connection: close\r\n", b"") + b"Content-Length: %d\r\n\r\n" % len(BODY) + BODY
    requests = request * 2 + HEAD + b"Content-Length: %d\r\n\r\n" % len(BODY) + BODY
    with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) as connection:
        connection.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        connection.sendall(requests[:cut])
        assert send(port, GET)[0] == b"HTTP/1.1 200 OK"
        connection.sendall(requests[cut:])
        answer = b""
        while chunk := connection.recv(65536):
            answer += chunk
    assert answer.count(b"HTTP/1.1 200 OK") == 3


def test_who_does_not_hang_up_holds_up_nobody(port):
    """He was told that the connection ends, and leaves it open; gunicorn waits for him in its loop."""
    rude = [socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) for _ in range(5 * THREADS)]
    for connection in rude:
        connection.sendall(GET)
        assert connection.recv(65536).startswith(b"HTTP/1.1 200 OK")
    asked = time.monotonic()
    assert send(port, GET)[0] == b"HTTP/1.1 200 OK"
    # Each would have cost two seconds.
    assert time.monotonic() - asked < 2
    for connection in rude:
        connection.close()


def test_a_stop_waits_for_nobody_who_has_not_asked(tmp_path):
    with Server(tmp_path, workers=1) as running:
        idle = [socket.create_connection(("127.0.0.1", running.port), timeout=PATIENCE) for _ in range(3)]
        idle[0].sendall(HEAD)
        assert send(running.port, GET)[0] == b"HTTP/1.1 200 OK"
        told_to_stop = time.monotonic()
    # What was begun may be finished for twenty seconds.
    assert time.monotonic() - told_to_stop < 10
    for connection in idle:
        connection.close()


def test_every_evaluation_is_in_the_log_once_it_has_stopped(tmp_path):
    with Server(tmp_path, workers=2) as running:
        statuses = [
            send(running.port, HEAD + b"Content-Length: %d\r\n\r\n" % len(BODY) + BODY)[0] for _ in range(20)
        ]
    assert statuses == [b"HTTP/1.1 200 OK"] * 20
    lines = [json.loads(line) for line in running.log.splitlines() if line.startswith("{")]
    assert [line["status"] for line in lines if "status" in line] == [200] * 20
