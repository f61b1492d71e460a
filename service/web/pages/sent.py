"""A form that a page sent, no longer than a request may be."""

from flask import request
from werkzeug.datastructures import MultiDict

from service.web.api.body import MAX_BODY
from service.web.api.problems import ProblemError

FORM = "application/x-www-form-urlencoded"


def sent_form() -> MultiDict[str, str]:
    """Its fields; ProblemError where it is no form or too long."""
    if "Transfer-Encoding" in request.headers:
        raise ProblemError(411, "length-required", "A chunked form is not accepted.", "")
    if (request.content_length or 0) > MAX_BODY:
        raise ProblemError(413, "body-too-large", f"The form is over {MAX_BODY} bytes.", "Send fewer pulls.")
    if request.mimetype != FORM:
        raise ProblemError(415, "wrong-media-type", "This is no form of a page.", "Send it from the page.")
    return request.form
