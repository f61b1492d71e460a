"""How a tool asks the service: one method, whatever lies between the two."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple, Protocol
from urllib.parse import urlencode

from flask import Flask

_NOTHING: Mapping[str, str] = MappingProxyType({})


class Reply(NamedTuple):
    """The status of an answer, and its JSON."""

    status: int
    body: dict[str, Any]


class Service(Protocol):
    """Whoever answers the calls of the contract."""

    def post(self, path: str, body: Mapping[str, Any]) -> Reply:
        """The answer to a POST."""
        ...

    def get(self, path: str, query: Mapping[str, str] = _NOTHING) -> Reply:
        """The answer to a GET."""
        ...


class InProcess:
    """The service in this very process."""

    def __init__(self, app: Flask):
        self._client = app.test_client(use_cookies=False)

    def post(self, path: str, body: Mapping[str, Any]) -> Reply:
        response = self._client.post(path, json=dict(body))
        return Reply(response.status_code, response.get_json())

    def get(self, path: str, query: Mapping[str, str] = _NOTHING) -> Reply:
        response = self._client.get(addressed(path, query))
        return Reply(response.status_code, response.get_json())


def addressed(path: str, query: Mapping[str, str]) -> str:
    """A path with its query."""
    return f"{path}?{urlencode(query)}" if query else path
