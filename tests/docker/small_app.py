"""What gunicorn serves where only gunicorn and nginx are on trial: the same answer to everything, and no
rules to load.
"""

ANSWER = b"{}"


def app(environ, start_response) -> list[bytes]:
    """A WSGI app."""
    environ["wsgi.input"].read()
    start_response("200 OK", [("Content-Length", str(len(ANSWER)))])
    return [ANSWER]
