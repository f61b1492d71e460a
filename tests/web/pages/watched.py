"""A page of a browser and what it complains about: console, policy, failures, requests to other hosts."""

from urllib.parse import urlsplit


class Watched:
    """Holds a page of playwright; `page` is that page."""

    def __init__(self, page):
        self.page = page
        self.complaints: list[str] = []
        self.weights: list[int] = []
        page.on("console", self._said)
        page.on("pageerror", lambda error: self.complaints.append(f"error: {error}"))
        page.on("request", self._asked)
        page.on("requestfailed", lambda request: self.complaints.append(f"failed: {request.url}"))

    def _said(self, message) -> None:
        # A refused form is answered with 422, which Chromium calls an error of its own.
        if message.type in ("error", "warning") and "status of 4" not in message.text:
            self.complaints.append(f"{message.type}: {message.text}")

    def _asked(self, request) -> None:
        if urlsplit(request.url).hostname not in ("127.0.0.1", None):
            self.complaints.append(f"request to another host: {request.url}")
