"""Tools for language models: on standard input and output, or as one endpoint beside a running service."""

import os
import sys
from pathlib import Path
from typing import NamedTuple

import anyio
import uvicorn
from mcp.server.stdio import stdio_server

from service.app import create_app
from service.settings import allowed_origins
from service.web.mcp.door import PATH, http_app
from service.web.mcp.server import make_server
from service.web.telemetry.log_writer import LogWriter
from service.web.tools.asking import InProcess, Service
from service.web.tools.over_http import OverHttp

# Of a service that was started as README.md says.
USUAL_URL = "http://127.0.0.1:8077"


class Address(NamedTuple):
    """Where the endpoint listens."""

    host: str
    port: int


def over_stdio(url: str | None, token_file: Path | None) -> int:
    """Answer whoever started this process, until he closes its input."""
    server = make_server(lambda _context: service)
    service: Service = _running(url, token_file) if url else _in_this_process()

    async def run() -> None:
        async with stdio_server() as (incoming, outgoing):
            await server.run(incoming, outgoing, server.create_initialization_options())

    anyio.run(run)
    return 0


def over_http(url: str | None, address: Address) -> int:
    """Answer callers over HTTP, each under his own token, until this process is told to end."""
    app = http_app(OverHttp(url or USUAL_URL), allowed_origins())
    print(f"http://{address.host}:{address.port}{PATH} asks {url or USUAL_URL}", file=sys.stderr)
    uvicorn.run(app, host=address.host, port=address.port, log_level="warning", server_header=False)
    return 0


def _running(url: str, token_file: Path | None) -> OverHttp:
    token = {"Authorization": f"Bearer {token_file.read_text().strip()}"} if token_file else {}
    return OverHttp(url, token)


def _in_this_process() -> InProcess:
    # Whoever runs the process is its only caller; output is the protocol's.
    os.environ.pop("TOKENS", None)
    return InProcess(create_app(LogWriter(sys.__stderr__.fileno()).write if sys.__stderr__ else None))
