"""A request in a file: as a client would post it, or as one of openapi/examples holds it."""

from pathlib import Path
from typing import Any

import orjson

from service.errors import ServiceError


def read_request(path: Path) -> dict[str, Any]:
    """The JSON object to post; ServiceError where the file holds none."""
    return read_call(path)[1]


def read_call(path: Path) -> tuple[str, dict[str, Any]]:
    """Where to post and what; ServiceError where the file holds no request."""
    try:
        content = orjson.loads(path.read_bytes())
    except OSError as error:
        raise ServiceError(f"{path}: cannot be read.") from error
    except orjson.JSONDecodeError as error:
        raise ServiceError(f"{path}: is not JSON, line {error.lineno}.") from error
    asked = content.get("request", content) if isinstance(content, dict) else None
    if not isinstance(asked, dict):
        raise ServiceError(f'{path}: holds no request; write {{"build": {{...}}}}.')
    return content.get("path", "/v1/evaluations"), asked
