"""The paths of the contract: each call as it stands beside its view, and the problems it may meet."""

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from service.rulebook.rulebook import Rulebook
from service.web.api.json_schema import INTEGER, TEXT, Schema, ref
from service.web.api.problem_codes import PROBLEMS
from service.web.api.requests.queries import query_fields
from service.web.api.requests.request_field import RequestField
from service.web.api.views.calls import Call, Page, Post
from service.web.api.views.routes import CALLS

_PROBLEM = {"$ref": "#/components/responses/Problem"}
_TOO_MANY = {"$ref": "#/components/responses/TooMany"}
# As docker/nginx.conf tells it.
_ASKED_TOO_OFTEN = {
    "type": "/problems/too-many-requests",
    "title": PROBLEMS["too-many-requests"].title,
    "status": 429,
    "code": "too-many-requests",
    "detail": "There are too many requests from this client at once. Wait as long as Retry-After says, "
    "and send many builds as one batch.",
}
_POST_PROBLEMS = ("400", "401", "403", "411", "412", "413", "415", "422", "500", "503")
_PAGE_PROBLEMS = ("401", "403", "500")
# Made by `make contract` of what the service answered: by operation, and `problem`.
EXAMPLES: dict[str, dict[str, Any]] = json.loads(
    (Path(__file__).parent / "examples.json").read_text(encoding="utf-8")
)
# For whoever tries a page out: names that every rulebook of ours and the catalog it comes with have.
_NAMES = {
    "Check": "injector-duty",
    "Function": "standard_pressure",
    "Input": "induction.boost",
    "Part": "IN-060-F09",
    "CodeMeaning": "spec-faults",
}
_WORDS = {"q": "blower pulley"}


def paths(rulebook: Rulebook) -> dict[str, Schema]:
    """Every path with its operation."""
    operations: dict[str, Schema] = {}
    words = query_fields(rulebook)
    for call in CALLS:
        path = re.sub(r"<(\w+)>", r"{\1}", call.told.path)
        operations[path] = (
            {"post": _post(call, call.told)}
            if isinstance(call.told, Post)
            else {"get": _page(call, call.told, words)}
        )
    return operations


def _post(call: Call, post: Post) -> Schema:
    request, answer = (EXAMPLES[call.operation][side] for side in ("request", "answer"))
    return {
        **_told(call),
        "requestBody": {"required": True, "content": _content(ref(post.request), request)},
        "responses": {
            "200": {"description": post.gives, "content": _content(ref(post.answer), answer)},
            **dict.fromkeys(_POST_PROBLEMS, _PROBLEM),
            "429": _TOO_MANY,
        },
    }


def _page(call: Call, page: Page, words: Mapping[str, RequestField]) -> Schema:
    example = EXAMPLES.get(call.operation, {}).get("answer")
    content = _content(ref(page.answer), example, page.media_type)
    answers: Schema = {"200": {"description": "As asked.", "content": content}}
    operation: Schema = {**_told(call), "responses": answers}
    if page.for_anybody:
        operation["security"] = []
    else:
        answers |= {**dict.fromkeys(_PAGE_PROBLEMS, _PROBLEM), "429": _TOO_MANY}
    if page.digest_of:
        answers["304"] = {
            "description": "The rulebook, for parts the catalog, is the one named in If-None-Match."
        }
        answers["412"] = _PROBLEM
    parameters = [_named(name, page) for name in re.findall(r"<(\w+)>", page.path)]
    if parameters:
        answers["404"] = _PROBLEM
    parameters += [_asked(word, words[word]) | _needed(word, page) for word in page.query]
    if parameters:
        operation["parameters"] = parameters
    answers["422"] = _PROBLEM
    return operation


def _named(name: str, page: Page) -> Schema:
    return {"name": name, "in": "path", "required": True, "schema": TEXT, "example": _NAMES[page.answer]}


def _asked(word: str, field: RequestField) -> Schema:
    return {"name": word, "in": "query", "description": field.about, "schema": field.shape()}


def _needed(word: str, page: Page) -> Schema:
    return {"required": True, "example": _WORDS[word]} if word in page.needs else {}


def _told(call: Call) -> Schema:
    return {
        "operationId": call.operation,
        "tags": [call.tag.word],
        "summary": call.summary,
        "description": call.told.when,
    }


def tags() -> list[Schema]:
    """The tags of all calls, in the order of their first."""
    return [{"name": word, "description": about} for word, about in dict.fromkeys(call.tag for call in CALLS)]


def _content(schema: Schema, example: object, media_type: str = "application/json") -> Schema:
    return {media_type: {"schema": schema} | ({} if example is None else {"example": example})}


def responses() -> dict[str, Schema]:
    """The problems that many calls may answer with."""
    return {
        "Problem": {
            "description": "What is wrong, where, and what was expected (RFC 9457).",
            "content": _problem(EXAMPLES["problem"]["answer"]),
        },
        "TooMany": {
            "description": "The gateway was asked too often by this caller; nothing was evaluated.",
            "headers": {"Retry-After": {"description": "Seconds to wait.", "schema": INTEGER}},
            "content": _problem(_ASKED_TOO_OFTEN),
        },
    }


def _problem(example: object) -> Schema:
    return _content(ref("Problem"), example, "application/problem+json")
