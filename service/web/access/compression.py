"""Large answers are compressed for a client that asks for it, where no gateway does so."""

import gzip

from flask import Flask, Response, request

# Below, what is saved does not fill a packet.
LEAST = 2048
# Half the time of gzip's usual 9, for a tenth more bytes.
LEVEL = 5


def register_compression(app: Flask) -> None:
    """Every answer of some size, refusals too."""

    @app.after_request
    def _compress(response: Response) -> Response:
        if (response.content_length or response.calculate_content_length() or 0) < LEAST:
            return response
        response.headers.add("Vary", "Accept-Encoding")
        # Asked for plainly first: the framework's reading of the header costs more than a small check.
        if not request.environ.get("HTTP_ACCEPT_ENCODING") or request.accept_encodings.quality("gzip") <= 0:
            return response
        # No time in it: the same answer is the same bytes.
        response.set_data(gzip.compress(response.get_data(), LEVEL, mtime=0))
        response.headers["Content-Encoding"] = "gzip"
        etag, _ = response.get_etag()
        if etag is not None:
            # A strong one would be of these bytes and no others (RFC 9110, 8.8.3).
            response.set_etag(etag, weak=True)
        return response
