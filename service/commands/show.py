"""Post a request to a running service and print the answer a person can read."""

import urllib.error
import urllib.request
from pathlib import Path

import orjson

from service.commands.answer_text import render
from service.commands.colour import paint_for_terminal
from service.commands.request_file import read_call
from service.errors import ServiceError
from service.web.tools.refusal import refusal_text


def show(
    path: Path, url: str, working: str | None = None, token_file: Path | None = None, whole: bool = False
) -> int:
    """Post the request in a file and print the answer: on one screen, `whole` all of it, with the working of
    one check if asked.
    """
    place, asked = read_call(path)
    if place == "/v1/evaluations":
        detail = "full" if whole or working else "summary"
        asked |= {"detail": detail, "include": ["ranges", "questions", "remedies"]}
    token = {"Authorization": f"Bearer {token_file.read_text().strip()}"} if token_file else {}
    request = urllib.request.Request(
        f"{url}{place}", orjson.dumps(asked), {"Content-Type": "application/json"} | token
    )
    try:
        with urllib.request.urlopen(request, timeout=30) as response:
            answer = orjson.loads(response.read())
    except urllib.error.HTTPError as error:
        with error:
            raise ServiceError(_refusal(error.read())) from error
    except urllib.error.URLError as error:
        raise ServiceError(f"{url} does not answer: {error.reason}.") from error
    if "headline" in answer:
        print(render(answer, paint_for_terminal(), whole, working))
    else:
        print(orjson.dumps(answer, option=orjson.OPT_INDENT_2).decode())
    return 0


def _refusal(body: bytes) -> str:
    """A problem in words; what is none as it stands."""
    try:
        problem = orjson.loads(body)
    except orjson.JSONDecodeError:
        return body.decode(errors="replace")
    return refusal_text(problem)
