"""A connection whose other end is slow, silent, or sends more than one request at once."""

import socket

import pytest

from service.web.server import bounded_socket
from service.web.server.bounded_socket import MOST_KEPT, BoundedSocket

HEAD = b"POST /v1/evaluations HTTP/1.1\r\nHost: localhost\r\nContent-Length: %d\r\n\r\n"
BODY = b'{"build": {}}'
WHOLE = HEAD % len(BODY) + BODY


@pytest.fixture
def ends():
    """The server's end, and the client's."""
    mine, theirs = socket.socketpair()
    bounded = BoundedSocket.of(mine)
    yield bounded, theirs
    bounded.close()
    theirs.close()


@pytest.mark.parametrize(
    ("sent", "is_enough"),
    [
        (b"", False),
        (b"POST / HTTP/1.1\r\nHost: localhost", False),
        (HEAD % len(BODY), False),
        (WHOLE[:-1], False),
        (WHOLE, True),
        (WHOLE + b"GET", True),
        (b"GET /healthz HTTP/1.1\r\nHost: localhost\r\n\r\n", True),
        # A thread has to look: for a word before the body, at a length that is not known or none, and at one
        # that is too long.
        (b"POST / HTTP/1.1\r\nExpect: 100-continue\r\nContent-Length: 5\r\n\r\n", True),
        (b"POST / HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\n", True),
        (b"POST / HTTP/1.1\r\nContent-Length: twelve\r\n\r\n", True),
        (HEAD % (2 * MOST_KEPT), True),
        (b"a" * (MOST_KEPT + 1), True),
    ],
)
def test_what_is_enough_to_read_on(ends, sent, is_enough):
    bounded, client = ends
    client.sendall(sent)
    assert bounded.gather() == is_enough


@pytest.mark.parametrize("cut", [1, 20, len(WHOLE) - len(BODY), len(WHOLE) - 1])
def test_a_request_in_two_pieces_is_read_as_one(ends, cut):
    bounded, client = ends
    client.sendall(WHOLE[:cut])
    assert not bounded.gather()
    client.sendall(WHOLE[cut:])
    assert bounded.gather()
    assert bounded.recv(10) + bounded.recv(10_000) == WHOLE


def test_who_goes_is_seen_to_go(ends):
    bounded, client = ends
    client.sendall(WHOLE[:-1])
    client.close()
    assert bounded.gather()
    bounded.setblocking(True)
    assert bounded.recv(10_000) == WHOLE[:-1] and bounded.recv(10_000) == b""


def test_a_request_has_a_time(ends, monkeypatch):
    monkeypatch.setattr(bounded_socket, "READING", 0.01)
    bounded, client = ends
    client.sendall(WHOLE[:-1])
    bounded.gather()
    bounded.setblocking(True)
    bounded.recv(10_000)
    assert bounded.recv(10_000) == b""
    first = bounded.deadline
    bounded.end_request()
    assert bounded.deadline > first


def test_each_byte_does_not_begin_a_new_time(ends):
    bounded, client = ends
    client.sendall(b"P")
    bounded.gather()
    deadline = bounded.deadline
    client.sendall(b"O")
    bounded.gather()
    assert bounded.deadline == deadline


def test_who_takes_no_answer_is_gone(ends, monkeypatch):
    monkeypatch.setattr(bounded_socket, "WRITING", 0.01)
    bounded, _ = ends
    bounded.setblocking(True)
    with pytest.raises(BrokenPipeError):
        bounded.sendall(bytes(10_000_000))
