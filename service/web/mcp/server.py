"""The tools, papers and the prompt as the protocol has them; nothing here knows what they are about."""

from collections.abc import Callable
from typing import Any

import mcp_types as types
from anyio import to_thread
from mcp.server.context import ServerRequestContext
from mcp.server.lowlevel import Server
from mcp.shared.exceptions import MCPError

from service.version import VERSION
from service.web.tools import interview
from service.web.tools.all_tools import BY_NAME, TOOLS
from service.web.tools.asking import Service
from service.web.tools.over_http import UnreachableError
from service.web.tools.reading_matter import PATTERNS, papers, read_paper
from service.web.tools.refusal import refusal_text
from service.web.tools.tool import RefusedError, Tool, ToolAnswer

Context = ServerRequestContext[Any, Any]
# Gives the service to ask for a request, under the name of whoever sent it.
ServiceOf = Callable[[Context], Service]
NAME = "engine-build-rules"
ABOUT = (
    "Judges planned engine builds by worked calculation. Start with judge_build; never invent a number; "
    "read the text out; ask the questions of `ask` in their order."
)
PROMPT = "interview_customer"
# No call changes anything, and none reaches beyond the service.
HINTS = types.ToolAnnotations(read_only_hint=True, idempotent_hint=True, open_world_hint=False)
JSON = "application/json"


def make_server(service_of: ServiceOf) -> Server[Any]:
    """A server of the protocol that asks the service given for each request."""
    return Server(
        NAME,
        version=VERSION,
        instructions=ABOUT,
        on_list_tools=_list_tools,
        on_call_tool=_calling(service_of),
        on_list_resources=_listing(service_of),
        on_list_resource_templates=_list_patterns,
        on_read_resource=_reading(service_of),
        on_list_prompts=_list_prompts,
        on_get_prompt=_get_prompt,
    )


def told(tool: Tool) -> types.Tool:
    """A tool as the protocol describes it."""
    return types.Tool(
        name=tool.name,
        title=tool.title,
        description=tool.about,
        input_schema=dict(tool.schema),
        annotations=HINTS,
    )


async def _list_tools(_context: Context, _asked: object) -> types.ListToolsResult:
    return types.ListToolsResult(tools=[told(tool) for tool in TOOLS])


def _calling(service_of: ServiceOf) -> Any:
    async def call(context: Context, asked: types.CallToolRequestParams) -> types.CallToolResult:
        if asked.name not in BY_NAME:
            raise MCPError(types.INVALID_PARAMS, f"There is no such tool; there are {', '.join(BY_NAME)}.")
        service, tool = service_of(context), BY_NAME[asked.name]
        try:
            answer = await to_thread.run_sync(tool.answer, service, asked.arguments or {})
        except UnreachableError as error:
            answer = ToolAnswer(str(error), None, True)
        return types.CallToolResult(
            content=[types.TextContent(text=answer.text)],
            structured_content=answer.content,
            is_error=answer.is_fault,
        )

    return call


def _listing(service_of: ServiceOf) -> Any:
    async def listed(context: Context, _asked: object) -> types.ListResourcesResult:
        found = await _asked_service(lambda: list(papers(service_of(context))))
        return types.ListResourcesResult(
            resources=[
                types.Resource(uri=paper.address, name=paper.name, description=paper.about, mime_type=JSON)
                for paper in found
            ]
        )

    return listed


async def _list_patterns(_context: Context, _asked: object) -> types.ListResourceTemplatesResult:
    return types.ListResourceTemplatesResult(
        resource_templates=[
            types.ResourceTemplate(
                uri_template=paper.address, name=paper.name, description=paper.about, mime_type=JSON
            )
            for paper in PATTERNS
        ]
    )


def _reading(service_of: ServiceOf) -> Any:
    async def read(context: Context, asked: types.ReadResourceRequestParams) -> types.ReadResourceResult:
        uri = str(asked.uri)
        text = await _asked_service(lambda: read_paper(service_of(context), uri))
        if text is None:
            raise MCPError(types.INVALID_PARAMS, "There is nothing to read at this address.")
        content = types.TextResourceContents(uri=uri, mime_type=JSON, text=text)
        return types.ReadResourceResult(contents=[content])

    return read


async def _asked_service(ask: Callable[[], Any]) -> Any:
    """What was asked of the service; its refusal as an error of the protocol."""
    try:
        return await to_thread.run_sync(ask)
    except RefusedError as error:
        raise MCPError(types.INVALID_REQUEST, refusal_text(error.reply.body)) from error
    except UnreachableError as error:
        raise MCPError(types.INTERNAL_ERROR, str(error)) from error


async def _list_prompts(_context: Context, _asked: object) -> types.ListPromptsResult:
    words = types.PromptArgument(name="words", description="What the customer said, if he has spoken.")
    prompt = types.Prompt(name=PROMPT, description=interview.ABOUT, arguments=[words])
    return types.ListPromptsResult(prompts=[prompt])


async def _get_prompt(_context: Context, asked: types.GetPromptRequestParams) -> types.GetPromptResult:
    if asked.name != PROMPT:
        raise MCPError(types.INVALID_PARAMS, f"There is no such prompt; there is {PROMPT}.")
    text = interview.opening((asked.arguments or {}).get("words", ""))
    return types.GetPromptResult(
        description=interview.ABOUT,
        messages=[types.PromptMessage(role="user", content=types.TextContent(text=text))],
    )
