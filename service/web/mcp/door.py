"""The one endpoint over HTTP: nobody passes whom the service would not let in, and each call is his own."""

from collections.abc import Mapping, MutableMapping
from typing import Any

import orjson
from anyio import to_thread
from mcp.server.transport_security import TransportSecuritySettings
from starlette.responses import Response
from starlette.types import ASGIApp, Receive, Scope, Send

from service.addresses import is_local
from service.web.access.access import FORWARDED
from service.web.api.body import MAX_BATCH
from service.web.api.problem_codes import PROBLEMS
from service.web.mcp.server import Context, make_server
from service.web.tools.asking import Reply, Service
from service.web.tools.over_http import OverHttp, UnreachableError

PATH = "/mcp"
# What the service decides by: who asks, under which name, from where, and as part of what.
_BY_GATEWAYS = tuple(name.removeprefix("HTTP_").lower().replace("_", "-") for name in FORWARDED)
PASSED_ON = ("authorization", "host", "traceparent", *_BY_GATEWAYS)
RETRY_AFTER = "1"


def http_app(service: OverHttp, origins: tuple[str, ...]) -> ASGIApp:
    """The endpoint in front of a running service; pages of these origins may ask from a browser."""

    def service_of(context: Context) -> Service:
        assert context.request is not None  # over HTTP there is one
        return service.bearing(_passed_on(context.request.headers, context.request.client))

    app = make_server(service_of).streamable_http_app(
        streamable_http_path=PATH,
        json_response=True,
        stateless_http=True,
        max_request_body_size=MAX_BATCH,
        # The service looks at the name it was asked under, and the door at the page that asks.
        transport_security=TransportSecuritySettings(enable_dns_rebinding_protection=False),
    )
    return Door(app, service, origins)


def _passed_on(headers: Mapping[str, str], client: Any) -> dict[str, str]:
    passed = {name: headers[name] for name in PASSED_ON if name in headers}
    # To the service this process is a caller on its own machine; who is not has to be told.
    if client and not is_local(client[0]):
        passed.setdefault("x-forwarded-for", client[0])
    return passed


class Door:
    """Asks the service whether a caller may come in, before anything of the request is read."""

    def __init__(self, app: ASGIApp, service: OverHttp, origins: tuple[str, ...]):
        self._app, self._service, self._origins = app, service, origins

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http":
            refused = await to_thread.run_sync(self._refused, scope)
            if refused:
                await refused(scope, receive, send)
                return
        await self._app(scope, receive, send)

    def _refused(self, scope: MutableMapping[str, Any]) -> Response | None:
        headers = {name.decode("latin-1"): value.decode("latin-1") for name, value in scope["headers"]}
        if headers.get("origin", "null") not in ("null", *self._origins):
            return _problem(403, "cross-site")
        try:
            reply = self._service.bearing(_passed_on(headers, scope.get("client"))).get("/readyz")
        except UnreachableError:
            return _problem(503, "unavailable", {"Retry-After": RETRY_AFTER})
        # A token for evaluations alone may not read; each call is looked at by itself.
        if reply.status == 200 or reply.body.get("code") == "scope":
            return None
        return _answer(reply, {"WWW-Authenticate": "Bearer"} if reply.status == 401 else {})


def _problem(status: int, code: str, headers: Mapping[str, str] | None = None) -> Response:
    title = PROBLEMS[code].title
    body = {"type": f"/problems/{code}", "title": title, "status": status, "code": code}
    return _answer(Reply(status, body | {"detail": f"{title}. {PROBLEMS[code].meaning}"}), headers or {})


def _answer(reply: Reply, headers: Mapping[str, str]) -> Response:
    return Response(
        orjson.dumps(reply.body),
        reply.status,
        {"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff", **headers},
        "application/problem+json",
    )
