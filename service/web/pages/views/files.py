"""Style and scripts."""

from flask import Response, request

from service.web.api.problems import ProblemError
from service.web.pages.static_files import NAMES, static_file

# An address names its content, so a browser need not ask again.
KEPT = "public, max-age=31536000, immutable"


def show_file(name: str) -> Response:
    """One of the files that pages name."""
    if name not in NAMES:
        raise ProblemError(404, "not-found", "There is no such file.", "")
    file = static_file(name)
    response = Response(file.content, mimetype=file.media_type)
    response.headers["Cache-Control"] = KEPT if request.args.get("v") == file.digest else "no-cache"
    response.set_etag(file.digest)
    response.make_conditional(request)
    return response
