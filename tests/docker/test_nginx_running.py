"""nginx with docker/nginx.conf in front of a small server: what gets through, what does not, and in what
words.
"""

import gzip
import http.client
import json
import re
import socket
import time
from contextlib import ExitStack

import pytest

from service.web.api.body import MAX_BATCH, MAX_BODY
from tests.docker.gateway import NGINX, bursts, gateway
from tests.docker.upstream import listening
from tests.support.server import free_port

pytestmark = pytest.mark.skipif(NGINX is None, reason="nginx is not on this machine")
EVALUATE = "/v1/evaluations"
LONG_CALLS = 4
TRACE = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"


@pytest.fixture
def upstream():
    with listening() as made:
        yield made


@pytest.fixture
def front(upstream):
    with gateway(upstream.port) as made:
        yield made


class Client:
    """A client with one kept-alive connection."""

    def __init__(self, port):
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)

    def ask(self, method, path, body=None, **options):
        self.connection.request(method, path, body, **options)
        response = self.connection.getresponse()
        return response, response.read()


@pytest.fixture
def client(front):
    made = Client(front.port)
    yield made
    made.connection.close()


@pytest.fixture
def refused(problem_faults):
    """The code of a problem, which has the form the contract demands."""

    def code(response, body):
        assert response.headers["Content-Type"] == "application/problem+json"
        assert response.headers["Server"] == "nginx" and response.headers["Cache-Control"] == "no-store"
        document = json.loads(body)
        assert problem_faults(document) == [] and document["status"] == response.status
        return document["code"]

    return code


def raw(port, *pieces):
    """The answer to bytes as they are."""
    with socket.create_connection(("127.0.0.1", port), timeout=10) as connection:
        for piece in pieces:
            connection.sendall(piece)
        response = http.client.HTTPResponse(connection)
        response.begin()
        with response:
            return response, response.read()


@pytest.mark.parametrize(
    "path, limit",
    [
        (EVALUATE, MAX_BODY),
        ("/v1/evaluation-batches", MAX_BATCH),
        ("/v1/sweeps", MAX_BATCH),
        ("/v1/dyno-comparisons", MAX_BATCH),
    ],
)
def test_a_body_up_to_the_limit_passes_and_one_byte_more_does_not(path, limit, upstream, client, refused):
    response, _ = client.ask("POST", path, b" " * limit)
    assert response.status == 200 and len(upstream.arrived[0].body) == limit
    response, body = client.ask("POST", path, b" " * (limit + 1))
    assert (response.status, refused(response, body)) == (413, "body-too-large")
    assert len(upstream.arrived) == 1


def test_a_chunked_body_goes_on_with_its_length(upstream, client, front, refused):
    response, _ = client.ask(
        "POST",
        EVALUATE,
        iter([b'{"build"', b": {}}"]),
        encode_chunked=True,
        headers={"Transfer-Encoding": "chunked"},
    )
    assert response.status == 200
    (arrived,) = upstream.arrived
    assert (
        arrived.body == b'{"build": {}}'
        and arrived.headers["content-length"] == "13"
        and "transfer-encoding" not in arrived.headers
    )
    head = f"POST {EVALUATE} HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: chunked\r\n\r\n".encode()
    response, body = raw(front.port, head, f"{MAX_BODY + 1:x}\r\n".encode(), b" " * (MAX_BODY + 1))
    assert (response.status, refused(response, body)) == (413, "body-too-large")
    assert len(upstream.arrived) == 1


@pytest.mark.parametrize("asked, coding", [("gzip, br", "gzip"), ("br", None)])
def test_a_large_answer_is_compressed_here_and_not_in_a_worker(upstream, client, asked, coding):
    upstream.reply = json.dumps(["what the service answers"] * 500).encode()
    response, body = client.ask("POST", EVALUATE, b"{}", headers={"Accept-Encoding": asked})
    assert response.headers["Content-Encoding"] == coding and response.headers["Vary"] == "Accept-Encoding"
    assert (gzip.decompress(body) if coding else body) == upstream.reply
    assert "accept-encoding" not in upstream.arrived[0].headers


def test_headers_go_on_and_claims_about_the_client_do_not(upstream, client):
    sent = {
        "traceparent": TRACE,
        "Authorization": "Bearer abc",
        "X-Forwarded-For": "192.0.2.1",
        "X-Forwarded-Proto": "https",
        "Forwarded": "for=192.0.2.1",
    }
    client.ask("POST", EVALUATE, b"{}", headers=sent)
    headers = upstream.arrived[0].headers
    # A form of a page is taken where its origin is this name, port and all.
    assert headers["host"] == f"127.0.0.1:{client.connection.port}"
    assert headers["traceparent"] == TRACE and headers["authorization"] == "Bearer abc"
    assert (
        headers["x-forwarded-for"] == "127.0.0.1"
        and headers["x-forwarded-proto"] == "http"
        and "forwarded" not in headers
    )


@pytest.mark.parametrize(
    "path",
    [
        "/metrics",
        "/readyz",
        "/v1",
        "/problem",
        "//metrics",
        "/%6detrics",
        "/v1/../metrics",
        "/v1/..%2fmetrics",
        "/v1/%2e%2e/readyz",
        "/metrics#v1",
    ],
)
def test_what_is_for_the_inside_is_not_there(path, upstream, front, refused):
    response, body = raw(front.port, f"GET {path} HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n".encode())
    assert (response.status, refused(response, body)) == (404, "not-found")
    assert upstream.arrived == []


@pytest.mark.parametrize(
    "path",
    [
        "/v1/checks",
        "/v1/parts/IN-060-F09",
        "/openapi.json",
        "/healthz",
        "/",
        "/answer?units=us&b=abc",
        "/rules/knock-margin",
        "/static/vendor/swagger-ui/swagger-ui.css?v=1",
    ],
)
def test_what_is_for_all_passes(path, upstream, client):
    response, _ = client.ask("GET", path)
    assert response.status == 200 and upstream.arrived[0].path == path


@pytest.mark.parametrize(
    "request_bytes, status, code",
    [
        (b"nonsense\r\n\r\n", 400, "malformed-request"),
        (b"GET /healthz HTTP/1.1\r\n\r\n", 400, "malformed-request"),
        (
            b"POST /v1/sweeps HTTP/1.1\r\nHost: a\r\nContent-Length: 2\r\nContent-Length: 3\r\n\r\n{}",
            400,
            "malformed-request",
        ),
        (b"TRACE /healthz HTTP/1.1\r\nHost: a\r\n\r\n", 405, "method-not-allowed"),
        (b"GET /" + b"a" * 9000 + b" HTTP/1.1\r\nHost: a\r\n\r\n", 414, "address-too-long"),
        (b"GET /healthz HTTP/1.1\r\nHost: a\r\nX: " + b"a" * 9000 + b"\r\n\r\n", 431, "headers-too-large"),
        (b"POST /v1/sweeps HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: gzip\r\n\r\n", 501, "not-implemented"),
        (b"GET /healthz HTTP/3.0\r\nHost: a\r\n\r\n", 505, "http-version"),
    ],
)
def test_what_is_no_proper_request_gets_a_problem(request_bytes, status, code, upstream, front, refused):
    response, body = raw(front.port, request_bytes)
    assert (response.status, refused(response, body)) == (status, code)
    assert upstream.arrived == []


def first_refused(client, headers):
    """How many of up to 400 requests passed before one did not, and that one."""
    for passed in range(400):
        response, body = client.ask("GET", "/v1/checks", headers=headers(passed))
        if response.status != 200:
            return passed, response, body
    raise AssertionError("400 requests passed")


def test_a_burst_is_taken_and_what_goes_beyond_is_told_when_to_come_back(client, refused):
    passed, response, body = first_refused(client, lambda _: {"Authorization": "Bearer one"})
    assert passed > bursts()["clients"] and (response.status, refused(response, body)) == (
        429,
        "too-many-requests",
    )
    assert int(response.headers["Retry-After"]) > 0
    response, _ = client.ask("GET", "/v1/checks", headers={"Authorization": "Bearer two"})
    assert response.status == 200


def test_a_new_token_for_every_request_does_not_get_around_the_limit(client, refused):
    passed, response, body = first_refused(client, lambda number: {"Authorization": f"Bearer {number}"})
    assert passed > bursts()["addresses"] and (response.status, refused(response, body)) == (
        429,
        "too-many-requests",
    )


def test_a_few_long_calls_at_once_and_the_short_ones_beside_them(upstream, front, refused):
    request = b"POST %s HTTP/1.1\r\nHost: a\r\nContent-Length: 2\r\nConnection: close\r\n\r\n{}"
    upstream.going.clear()
    with ExitStack() as held:
        held.callback(upstream.going.set)
        out = [
            held.enter_context(socket.create_connection(("127.0.0.1", front.port), timeout=10))
            for _ in range(LONG_CALLS + 1)
        ]
        for connection in out[:-1]:
            connection.sendall(request % b"/v1/sweeps")
        out[-1].sendall(request % EVALUATE.encode())
        deadline = time.monotonic() + 10
        while len(upstream.arrived) < LONG_CALLS + 1 and time.monotonic() < deadline:
            time.sleep(0.01)
        assert sorted(one.path for one in upstream.arrived) == [EVALUATE] + ["/v1/sweeps"] * LONG_CALLS
        response, body = raw(front.port, request % b"/v1/selections")
        assert (response.status, refused(response, body)) == (429, "too-many-requests") and int(
            response.headers["Retry-After"]
        ) > 0
    assert raw(front.port, request % b"/v1/selections")[0].status == 200


def test_a_slow_client_does_not_occupy_the_service(upstream, client, front):
    text = b'{"build": {"engine": {"cylinders": 8}}}'
    with socket.create_connection(("127.0.0.1", front.port), timeout=10) as slow:
        slow.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        slow.sendall(
            (
                f"POST {EVALUATE} HTTP/1.1\r\nHost: a\r\nContent-Length: {len(text)}\r\n"
                "Connection: close\r\n\r\n"
            ).encode()
        )
        for byte in text[:-1]:
            slow.sendall(bytes([byte]))
            if byte == ord("{"):
                assert client.ask("GET", "/v1/checks")[0].status == 200
        assert client.ask("GET", "/v1/checks")[0].status == 200
        # Everything but one byte was sent, and the service has not heard of it.
        assert set(upstream.begun) == {"GET"}
        slow.sendall(text[-1:])
        response = http.client.HTTPResponse(slow)
        response.begin()
        with response:
            assert response.status == 200
    assert upstream.arrived[-1].body == text


def test_a_calculation_that_met_a_broken_connection_is_sent_again(upstream, client):
    assert client.ask("POST", EVALUATE, b"{}")[0].status == 200
    upstream.abandon = True
    response, _ = client.ask("POST", EVALUATE, b'{"a": 1}')
    assert response.status == 200 and not upstream.abandon
    assert [one.body for one in upstream.arrived] == [b"{}", b'{"a": 1}', b'{"a": 1}']


def test_a_service_that_is_not_there(refused):
    with gateway(free_port()) as front:
        response, body = raw(
            front.port, b"POST /v1/sweeps HTTP/1.1\r\nHost: a\r\nContent-Length: 2\r\n\r\n{}"
        )
    assert (response.status, refused(response, body)) == (502, "no-answer")
    assert int(response.headers["Retry-After"]) > 0


def test_an_instance_that_is_away_costs_nobody_an_answer(upstream):
    with gateway(free_port(), upstream.port, rates=False) as front:
        client = Client(front.port)
        answers = [client.ask("POST", EVALUATE, str(number).encode())[0].status for number in range(60)]
        client.connection.close()
        lines = [json.loads(line) for line in front.access_log.read_text().splitlines()]
    assert answers == [200] * 60 and [int(one.body) for one in upstream.arrived] == list(range(60))
    # It was tried, more often than not at all and less often than by turns.
    assert 0 < sum("," in line["upstream"] for line in lines) < 30


def test_an_instance_that_is_back_is_asked_again():
    away = free_port()
    # nginx ends first: until then it keeps connections, for which the others would wait.
    with ExitStack() as upstreams, listening() as there, gateway(away, there.port, rates=False) as front:
        client = Client(front.port)
        assert [client.ask("GET", "/v1/checks")[0].status for _ in range(50)] == [200] * 50
        back = upstreams.enter_context(listening(away))
        deadline = time.monotonic() + 10
        while not back.arrived and time.monotonic() < deadline:
            assert client.ask("GET", "/v1/checks")[0].status == 200
        assert back.arrived
        client.connection.close()


def test_refusals_of_the_service_stay_its_own(upstream, client):
    upstream.status = 503
    response, body = client.ask("POST", EVALUATE, b"{}")
    assert (response.status, body) == (503, b"{}") and "Retry-After" not in response.headers


def test_the_log_is_json_without_tokens_and_without_health(upstream, client, front):
    client.ask("GET", "/healthz")
    client.ask(
        "POST",
        f"{EVALUATE}?access_token=secret-word",
        b"{}",
        headers={"Authorization": "Bearer secret-word", "traceparent": TRACE},
    )
    client.ask("GET", "/metrics")
    # The line of a request is written before the next one on its connection is looked at.
    client.ask("GET", "/healthz")
    lines = [json.loads(line) for line in front.access_log.read_text().splitlines()]
    assert [(one["path"], one["status"]) for one in lines] == [(EVALUATE, 200), ("/metrics", 404)]
    assert lines[0]["traceparent"] == TRACE and re.fullmatch(r"127\.0\.0\.1:\d+", lines[0]["upstream"])
    assert "secret-word" not in front.access_log.read_text()
