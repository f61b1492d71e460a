"""The app behind a loopback port, and a real browser that looks at it: started once for all tests."""

import os
import shutil
import threading

import pytest
from werkzeug.serving import WSGIRequestHandler, make_server

from tests.support.expected import app_with
from tests.support.places import CATALOG
from tests.web.pages.watched import Watched

PHONE, DESK = 390, 1280


class Quiet(WSGIRequestHandler):
    """Says nothing of each request."""

    def log(self, *_):
        pass


@pytest.fixture(scope="session")
def app():
    """With the fixed catalog."""
    return app_with(CATALOG=str(CATALOG))


@pytest.fixture(scope="session")
def serve():
    """Serves an app on a free loopback port while the session lasts; gives its address."""
    running = []

    def start(app) -> str:
        server = make_server("127.0.0.1", 0, app, threaded=True, request_handler=Quiet)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        running.append(server)
        return f"http://127.0.0.1:{server.server_port}"

    yield start
    for server in running:
        server.shutdown()
        server.server_close()


@pytest.fixture(scope="session")
def site(app, serve):
    return serve(app)


@pytest.fixture(scope="session")
def browser():
    """Debian's chromium; a laptop without it, or without playwright, has nothing to look with."""
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    path = shutil.which("chromium")
    if path is None:
        pytest.skip("no chromium on this machine (Debian: apt-get install chromium)")
    with playwright.sync_playwright() as running:
        # Chromium as root has no sandbox of its own, and there is no graphics card to imitate.
        as_root = ["--no-sandbox"] if os.geteuid() == 0 else []
        chromium = running.chromium.launch(executable_path=path, args=["--disable-gpu", *as_root])
        yield chromium
        chromium.close()


@pytest.fixture
def look(browser):
    """Opens a page that is watched: whatever a browser complains about fails the test that looked."""
    opened = []

    def open_page(width: int = DESK, script: bool = True) -> Watched:
        context = browser.new_context(
            viewport={"width": width, "height": 900}, java_script_enabled=script, locale="en-US"
        )
        watched = Watched(context.new_page())
        opened.append(watched)
        return watched

    yield open_page
    complaints = [complaint for watched in opened for complaint in watched.complaints]
    for watched in opened:
        watched.page.context.close()
    assert complaints == []
