"""The service behind an address, asked under the caller's own token: what holds for him there holds here."""

import http.client
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any
from urllib.parse import urlsplit

import orjson

from service.errors import ServiceError
from service.web.tools.asking import Reply, addressed

PATIENCE = 60.0
_NOTHING: Mapping[str, str] = MappingProxyType({})


class UnreachableError(ServiceError):
    """The service did not answer."""


class OverHttp:
    """A running service; `headers` go with each call: a token, a trace, what a gateway said of the caller."""

    def __init__(self, url: str, headers: Mapping[str, str] = _NOTHING):
        address = urlsplit(url)
        if address.scheme not in ("http", "https") or not address.hostname:
            raise ServiceError(f"{url!r} is no address of a service; write http://127.0.0.1:8077.")
        self._address, self._headers = address, dict(headers)

    def bearing(self, headers: Mapping[str, str]) -> "OverHttp":
        """The same service, asked with these headers as well."""
        return OverHttp(self._address.geturl(), self._headers | dict(headers))

    def post(self, path: str, body: Mapping[str, Any]) -> Reply:
        return self._ask("POST", path, orjson.dumps(body), {"Content-Type": "application/json"})

    def get(self, path: str, query: Mapping[str, str] = _NOTHING) -> Reply:
        return self._ask("GET", addressed(path, query), None, {})

    def _ask(self, method: str, path: str, body: bytes | None, headers: dict[str, str]) -> Reply:
        connect = (
            http.client.HTTPSConnection if self._address.scheme == "https" else http.client.HTTPConnection
        )
        connection = connect(self._address.hostname or "", self._address.port, timeout=PATIENCE)
        try:
            connection.request(
                method, f"{self._address.path.rstrip('/')}{path}", body, self._headers | headers
            )
            response = connection.getresponse()
            return Reply(response.status, orjson.loads(response.read()))
        except (OSError, http.client.HTTPException, orjson.JSONDecodeError) as error:
            raise UnreachableError("The service does not answer. Every call is safe to repeat.") from error
        finally:
            connection.close()
