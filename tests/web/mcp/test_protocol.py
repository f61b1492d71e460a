"""The tools through the SDK's own client: on standard input and output, and over HTTP under tokens."""

import json
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import asynccontextmanager, contextmanager
from urllib.parse import urlsplit

import anyio
import httpx2
import pytest
from mcp import Client, MCPError, StdioServerParameters
from mcp.client.streamable_http import streamable_http_client
from mcp.server.lowlevel import Server

from service.commands.token import hash_of
from service.web.mcp.server import make_server, told
from service.web.tools.all_tools import BY_NAME, TOOLS
from service.web.tools.asking import InProcess
from tests.docker.gateway import NGINX, gateway
from tests.support.expected import app_with
from tests.support.places import CATALOG, ROOT
from tests.support.server import PATIENCE, clean_environment, free_port
from tests.support.server import Server as Service
from tests.support.tokens import tokens

MOST_OF_ALL = 2000
TOKEN, READS, ASKS = "t" * 43, "r" * 43, "e" * 43
BUILD = {"fuel_system": {"injector_count": 8, "injector_flow": "60 lb/h"}, "target": {"power": "600 rwhp"}}
EVERY = {
    "judge_build": {"build": BUILD},
    "what_is_needed": {"build": {"engine": {"cylinders": 8}, "target": {"power": "600 hp"}}},
    "how_far": {"build": BUILD, "inputs": ["target.power"]},
    "choose_parts": {"build": {"target": {"torque": "500 lb-ft"}}, "slots": ["clutch"]},
    "compare_pulls": {"a": ["401 whp", "403 whp", "402 whp"], "b": ["403 whp", "405 whp", "403 whp"]},
    "look_up": {"words": "blower pulley"},
}


async def everything(client):
    """Lists, calls, reads: what every way has to do alike."""
    listed = (await client.list_tools()).tools
    assert [tool.name for tool in listed] == [tool.name for tool in TOOLS]
    assert all(tool.annotations.read_only_hint and tool.annotations.idempotent_hint for tool in listed)
    for name, given in EVERY.items():
        answer = await client.call_tool(name, given)
        assert not answer.is_error and answer.content[0].text and answer.structured_content, name
    fault = await client.call_tool("judge_build", {"build": {"induction": {"boost": "0.8"}}})
    assert fault.is_error and "Did you mean 0.8 bar or 0.8 psi?" in fault.content[0].text
    with pytest.raises(MCPError, match="no such tool"):
        await client.call_tool("weld", {})
    await papers(client)
    [prompt] = (await client.list_prompts()).prompts
    told = await client.get_prompt(prompt.name, {"words": "a 5.0 with a blower"})
    assert "Never invent a number" in told.messages[0].content.text
    assert told.messages[0].content.text.endswith("a 5.0 with a blower")


async def papers(client):
    uris = [str(paper.uri) for paper in (await client.list_resources()).resources]
    assert "engine-build-rules://inputs/induction" in uris and "engine-build-rules://sources" in uris
    for uri in [uris[0], uris[1], *uris[-3:], "engine-build-rules://checks/knock-margin"]:
        [paper] = (await client.read_resource(uri)).contents
        assert json.loads(paper.text), uri
    patterns = (await client.list_resource_templates()).resource_templates
    assert "engine-build-rules://parts/{number}" in [str(pattern.uri_template) for pattern in patterns]
    for uri in ("engine-build-rules://checks/none", "engine-build-rules://inputs/none", "http://elsewhere/"):
        with pytest.raises(MCPError, match="nothing to read"):
            await client.read_resource(uri)


@pytest.fixture(scope="module")
def in_process() -> Server:
    service = InProcess(app_with(CATALOG=str(CATALOG)))
    return make_server(lambda _context: service)


@pytest.mark.parametrize("mode", ["auto", "legacy"])
def test_in_one_process(in_process, mode):
    async def run():
        async with Client(in_process, mode=mode) as client:
            await everything(client)

    anyio.run(run)


def test_all_tools_together_are_small(in_process):
    """Counted as they are sent, by name and annotations too."""

    async def run():
        async with Client(in_process) as client:
            return (await client.list_tools()).tools

    listed = anyio.run(run)
    sent = [tool.model_dump(by_alias=True, exclude_none=True, mode="json") for tool in listed]
    assert sent == [told(tool).model_dump(by_alias=True, exclude_none=True, mode="json") for tool in TOOLS]
    assert 500 < tokens(sent) < MOST_OF_ALL


def test_a_tool_takes_what_it_says(in_process):
    assert all(set(tool.required) <= set(tool.properties) for tool in BY_NAME.values())


def test_on_standard_input_and_output():
    command = StdioServerParameters(
        command=sys.executable,
        args=["-m", "service", "mcp"],
        env=clean_environment(CATALOG=str(CATALOG)),
        cwd=ROOT,
    )

    async def run():
        async with Client(command) as client:
            await everything(client)

    anyio.run(run)


@pytest.fixture(scope="module")
def endpoint(tmp_path_factory):
    """The service under gunicorn with tokens, and the endpoint beside it: its URL, and the service."""
    folder = tmp_path_factory.mktemp("mcp")
    lines = "".join(
        f"{name}:\n  scopes: [{scopes}]\n  hash: {hash_of(token)}\n"
        for name, scopes, token in (
            ("chatbot", "evaluate, read", TOKEN),
            ("reader", "read", READS),
            ("asker", "evaluate", ASKS),
        )
    )
    (folder / "tokens").write_text(lines)
    ready = ("/readyz", 401)
    with (
        Service(folder, ready=ready, TOKENS=str(folder / "tokens"), CATALOG=str(CATALOG)) as service,
        beside(f"http://127.0.0.1:{service.port}") as url,
    ):
        yield url, service


@contextmanager
def beside(service_url):
    port = free_port()
    command = [sys.executable, "-m", "service", "mcp", "--http", "--port", str(port), "--url", service_url]
    process = subprocess.Popen(command, cwd=ROOT, env=clean_environment(), stderr=subprocess.PIPE, text=True)
    try:
        url = f"http://127.0.0.1:{port}/mcp"
        deadline = time.monotonic() + PATIENCE
        while status(url) is None:
            assert process.poll() is None and time.monotonic() < deadline
        yield url
    finally:
        process.terminate()
        said = process.communicate(timeout=PATIENCE)[1]
    # It finishes what it has and then ends by the signal itself, as its server does.
    assert process.returncode == -signal.SIGTERM and "Traceback" not in said, said


def status(url, **headers):
    """(status, body) of a call of the protocol without its client; None where nobody answers."""
    call = {"jsonrpc": "2.0", "id": 1, "method": "tools/list", "params": {}}
    head = {"Content-Type": "application/json", "Accept": "application/json, text/event-stream"}
    request = urllib.request.Request(url, json.dumps(call).encode(), head | headers)
    try:
        with urllib.request.urlopen(request, timeout=PATIENCE) as response:
            return response.status, response.read()
    except urllib.error.HTTPError as error:
        return error.code, error.read()
    except urllib.error.URLError:
        return None


@asynccontextmanager
async def caller(url, token, **headers):
    bearer = {"Authorization": f"Bearer {token}"}
    async with (
        httpx2.AsyncClient(headers=bearer | headers, timeout=PATIENCE) as http,
        Client(streamable_http_client(url, http_client=http)) as client,
    ):
        yield client


@pytest.mark.slow
def test_over_http(endpoint):
    async def run():
        async with caller(endpoint[0], TOKEN) as client:
            await everything(client)

    anyio.run(run)


@pytest.mark.slow
def test_the_calls_are_the_callers_own(endpoint):
    """They stand in the service's log and counts under the name of his token, and in his trace."""
    url, service = endpoint
    trace = "0af7651916cd43dd8448eb211c80319c"

    async def run():
        async with caller(url, TOKEN, traceparent=f"00-{trace}-b7ad6b7169203331-01") as client:
            await client.call_tool("judge_build", {"build": BUILD})

    anyio.run(run)
    deadline = time.monotonic() + PATIENCE
    while trace not in service.log and time.monotonic() < deadline:
        time.sleep(0.05)
    lines = [json.loads(line) for line in service.log.splitlines() if trace in line]
    assert {line["caller"] for line in lines} == {"chatbot"}
    assert "create_evaluation" in {line["operation"] for line in lines}


@pytest.mark.slow
@pytest.mark.skipif(NGINX is None, reason="nginx is not on this machine")
def test_through_the_gateway(endpoint):
    url, service = endpoint

    async def run(port):
        async with caller(f"http://127.0.0.1:{port}/mcp", TOKEN) as client:
            await everything(client)

    with gateway(service.port, tools=urlsplit(url).port) as front:
        anyio.run(run, front.port)
        code, body = status(f"http://127.0.0.1:{front.port}/mcp")
        assert (code, json.loads(body)["code"]) == (401, "no-token")
    with gateway(service.port) as front:
        code, body = status(f"http://127.0.0.1:{front.port}/mcp")
        assert (code, json.loads(body)["code"]) == (502, "no-answer")


@pytest.mark.slow
def test_nobody_without_a_token(endpoint):
    code, body = status(endpoint[0])
    assert (code, json.loads(body)["code"]) == (401, "no-token")
    code, body = status(endpoint[0], Authorization="Bearer made-up")
    assert (code, json.loads(body)["code"]) == (401, "unknown-token")


@pytest.mark.slow
def test_a_token_does_here_what_it_does_there(endpoint):
    async def run():
        async with caller(endpoint[0], READS) as reader:
            refused = await reader.call_tool("judge_build", {"build": BUILD})
            assert refused.is_error and "`evaluate`" in refused.content[0].text
            assert not (await reader.call_tool("look_up", {"words": "boost"})).is_error
        async with caller(endpoint[0], ASKS) as asker:
            assert not (await asker.call_tool("judge_build", {"build": BUILD})).is_error
            assert (await asker.call_tool("look_up", {"words": "boost"})).is_error
            with pytest.raises(MCPError, match="`read`"):
                await asker.list_resources()

    anyio.run(run)


@pytest.mark.slow
def test_a_page_of_another_site_may_not_ask(endpoint):
    code, body = status(endpoint[0], Authorization=f"Bearer {TOKEN}", Origin="https://elsewhere.example")
    assert (code, json.loads(body)["code"]) == (403, "cross-site")


@pytest.mark.slow
@pytest.mark.parametrize("header", ["Host", "X-Forwarded-For"])
def test_without_tokens_nobody_from_elsewhere(header, tmp_path):
    with Service(tmp_path) as service, beside(f"http://127.0.0.1:{service.port}") as url:
        code, body = status(url, **{header: "10.0.0.7"})
        assert (code, json.loads(body)["code"]) == (403, "local-only")
        assert status(url)[0] == 200


@pytest.mark.slow
def test_without_the_service_it_says_so():
    with beside(f"http://127.0.0.1:{free_port()}") as url:
        code, body = status(url)
        assert (code, json.loads(body)["code"]) == (503, "unavailable")
