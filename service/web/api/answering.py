"""An answer for whoever asks within this process: read and worked out as a POST of the same body is."""

from typing import Any

from service.json_object import JsonObject
from service.web.api.state import State
from service.web.api.views.calls import Post, fields_of
from service.web.api.views.routes import CALLS

_POSTS = {call.told.path: call for call in CALLS if isinstance(call.told, Post)}


def answer_to(state: State, path: str, body: dict[str, Any]) -> JsonObject:
    """What a POST of this body to this path answers; raises what makes the API refuse."""
    call = _POSTS[path]
    assert isinstance(call.told, Post)  # no others are in the table
    answer = call.work(state, fields_of(state, call.told, body))
    assert isinstance(answer, dict)  # a page may be a response, a call is not
    return answer
