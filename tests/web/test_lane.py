"""Too many long calls at once are asked to come again, at once; short calls are answered meanwhile."""

from contextlib import ExitStack

import pytest

from service.web.api.lane import LONG_CALLS, MOST_LONG, BusyError, Lane
from service.web.api.views.calls import Post
from service.web.api.views.routes import CALLS
from tests.docker.gateway import configuration

LONG = [call.told.path for call in CALLS if isinstance(call.told, Post) and call.told.is_long]


@pytest.fixture
def taken():
    """All places of long calls."""
    with ExitStack() as stack:
        for _ in range(MOST_LONG):
            stack.enter_context(LONG_CALLS.place())
        yield stack


def body_of(example, path):
    names = {"/v1/evaluation-batches": "batch", "/v1/sweeps": "sweep", "/v1/selections": "selection"}
    return example(names[path])["request"]


@pytest.mark.parametrize("path", LONG)
def test_it_is_asked_to_come_again(catalog_client, example, taken, path):
    refused = catalog_client.post(path, json=body_of(example, path))
    assert (refused.status_code, refused.get_json()["code"]) == (503, "busy")
    assert refused.headers["Retry-After"] == "1"
    taken.close()
    assert catalog_client.post(path, json=body_of(example, path)).status_code == 200


def test_short_calls_are_answered_meanwhile(catalog_client, example, taken):
    for name in ("demo", "requirements", "limits-boost", "solutions-pulley", "dyno-comparison"):
        asked = example(name)
        path = asked.get("path", "/v1/evaluations")
        assert catalog_client.post(path, json=asked["request"]).status_code == 200, name
    assert catalog_client.get("/readyz").status_code == 200


def test_a_refused_request_takes_no_place(catalog_client):
    for _ in range(MOST_LONG + 1):
        assert catalog_client.post("/v1/sweeps", json={}).status_code == 422
        assert catalog_client.post("/v1/sweeps", json={"build": {}, "columns": {}}).status_code == 422
    with LONG_CALLS.place():
        pass


def test_a_place_is_given_back_whatever_happens():
    lane = Lane(1)
    with pytest.raises(ZeroDivisionError), lane.place():
        1 / 0  # noqa: B018  # what a call may raise
    with lane.place(), pytest.raises(BusyError), lane.place():
        pass


def test_the_gateway_holds_them_for_long_too():
    [expression] = [word for word in configuration().map("$long_call") if word.startswith("~")]
    assert len(LONG) == 3
    for path in LONG:
        assert path.rpartition("/")[2] in expression
