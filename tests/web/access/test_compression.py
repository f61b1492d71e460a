"""Large answers come compressed to whoever asks for it, and are the same answers."""

import gzip
import json

import pytest

from service.web.access.compression import LEAST

ASKS = {"Accept-Encoding": "br, gzip"}


def plain_and_compressed(client, path):
    return client.get(path), client.get(path, headers=ASKS)


@pytest.mark.parametrize("path", ["/v1/inputs", "/openapi.json", "/v1/quantities"])
def test_a_large_page(client, path):
    plain, compressed = plain_and_compressed(client, path)
    assert "Content-Encoding" not in plain.headers and compressed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(compressed.data) == plain.data and len(compressed.data) < len(plain.data) / 3
    for answer in (plain, compressed):
        assert answer.vary.find("Accept-Encoding") >= 0
        assert answer.headers["Content-Length"] == str(len(answer.data))


def test_an_evaluation(client, example):
    request = example("demo")["request"] | {"detail": "full"}
    plain = client.post("/v1/evaluations", json=request)
    compressed = client.post("/v1/evaluations", json=request, headers=ASKS)
    assert json.loads(gzip.decompress(compressed.data)) == plain.get_json()
    # The same request gives the same bytes: no time of day is in them.
    assert compressed.data == client.post("/v1/evaluations", json=request, headers=ASKS).data


def test_what_is_small_stays_as_it_is(client):
    plain, compressed = plain_and_compressed(client, "/readyz")
    assert len(plain.data) < LEAST and compressed.data == plain.data
    assert "Content-Encoding" not in compressed.headers and "Vary" not in compressed.headers


@pytest.mark.parametrize("accepted", ["", "br", "identity", "gzip;q=0", "*;q=0"])
def test_whoever_cannot_read_it_does_not_get_it(client, accepted):
    answer = client.get("/v1/inputs", headers={"Accept-Encoding": accepted})
    assert "Content-Encoding" not in answer.headers and answer.get_json()["inputs"]


def test_its_tag_is_weak_and_still_spares_the_page(client):
    # RFC 9110, 8.8.3: two codings are two sequences of bytes, so a strong tag cannot be of both.
    plain, compressed = plain_and_compressed(client, "/v1/inputs")
    assert compressed.headers["ETag"] == f"W/{plain.headers['ETag']}"
    again = client.get("/v1/inputs", headers=ASKS | {"If-None-Match": compressed.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")


def test_head_tells_the_length_of_what_get_sends(client):
    head, get = client.head("/v1/inputs", headers=ASKS), client.get("/v1/inputs", headers=ASKS)
    assert head.data == b"" and head.headers["Content-Length"] == get.headers["Content-Length"]


def test_a_long_refusal(client):
    build = {f"engine_{number}": {"a": 1} for number in range(60)}
    refused = client.post("/v1/evaluations", json={"build": build}, headers=ASKS)
    assert (refused.status_code, refused.mimetype) == (422, "application/problem+json")
    assert refused.headers["Content-Encoding"] == "gzip"
    assert json.loads(gzip.decompress(refused.data))["code"] == "spec-faults"
