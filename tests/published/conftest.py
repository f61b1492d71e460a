"""The working of one check, as a client gets it."""

import pytest

from service.app import create_app


@pytest.fixture(scope="session")
def reply():
    """The reply to one check of a build at full detail, in metric units."""
    client = create_app().test_client()

    def post(check, build):
        response = client.post("/v1/evaluations", json={"build": build, "checks": [check], "detail": "full"})
        assert response.status_code == 200, response.text
        return response.get_json()

    return post


@pytest.fixture(scope="session")
def working(reply):
    """The lines of working by the name of their quantity."""

    def lines(check, build):
        [entry] = reply(check, build)["checks"]
        return {line["name"]: line for line in entry["working"]}

    return lines
