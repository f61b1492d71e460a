"""The bytes of a request become one JSON object, or a problem with the right code."""

import json
import re
from typing import Any

import orjson
from flask import Request

from service.web.api.problems import ProblemError

MAX_BODY = 64 * 1024
MAX_BATCH = 1024 * 1024
MAX_DEPTH = 12
_KEY = re.compile(rb'"\s*:')


class MediaTypeError(ProblemError):
    """A body in another form, and the form that is read (RFC 9110, 15.5.16)."""

    def __init__(self, code: str, detail: str, fix: str):
        super().__init__(415, code, detail, fix)
        self.headers = {"Accept": "application/json", "Accept-Encoding": "identity"}


def json_object(request: Request, most: int = MAX_BODY) -> dict[str, Any]:
    """The body as a dict; ProblemError for 400, 411, 413, 415 and for duplicate keys or deep nesting."""
    if "Transfer-Encoding" in request.headers:
        raise ProblemError(
            411, "length-required", "A chunked body is not accepted.", "Send the body with a Content-Length."
        )
    if (request.content_length or 0) > most:
        raise ProblemError(
            413, "body-too-large", f"The body is over {most} bytes.", "One build takes a few kilobytes."
        )
    if request.headers.get("Content-Encoding", "identity") != "identity":
        raise MediaTypeError("encoded", "The body is compressed.", "Send it as it is.")
    if request.mimetype != "application/json":
        raise MediaTypeError(
            "wrong-media-type", "The body is not marked as JSON.", "Send Content-Type: application/json."
        )
    raw = request.get_data(cache=False)
    if len(raw) < (request.content_length or 0):
        raise ProblemError(
            400, "body-incomplete", "The body ends before its Content-Length.", "Send the whole body."
        )
    try:
        parsed = orjson.loads(raw)
    except orjson.JSONDecodeError as error:
        raise ProblemError(
            400,
            "not-json",
            "The body is not valid JSON (NaN and infinities are not JSON).",
            f"Look near line {error.lineno}, column {error.colno}.",
        ) from error
    if not isinstance(parsed, dict):
        raise ProblemError(422, "wrong-type", "The body is not a JSON object.", 'Send {"build": {...}}.')
    keys = _count_keys(parsed)
    # Inside a string the pattern can occur too, so more hits than keys only means: look closely.
    if len(_KEY.findall(raw)) != keys:
        _refuse_duplicates(raw)
    return parsed


def _count_keys(node: dict[str, Any] | list[Any], depth: int = 1) -> int:
    """Keys at all levels; refuses nesting deeper than any request needs."""
    if depth > MAX_DEPTH:
        raise ProblemError(
            422, "too-deep", f"The body is nested more than {MAX_DEPTH} deep.", "No request needs that."
        )
    keys, below = (len(node), node.values()) if type(node) is dict else (0, node)
    for value in below:
        if type(value) is dict or type(value) is list:
            keys += _count_keys(value, depth + 1)
    return keys


def _refuse_duplicates(raw: bytes) -> None:
    def pairs(items: list[tuple[str, object]]) -> dict[str, object]:
        seen: set[str] = set()
        for key, _ in items:
            if key in seen:
                raise ProblemError(
                    400,
                    "duplicate-key",
                    "An object of the body has the same key twice; it is unclear which one counts.",
                    "Keep one of the two.",
                )
            seen.add(key)
        return dict(items)

    json.loads(raw, object_pairs_hook=pairs)
