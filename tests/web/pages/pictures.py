"""`make pictures` takes the pictures of README.md: the demo's build on the page and on paper."""

import io
import json
import shutil
import threading
from pathlib import Path

import pypdfium2
from PIL import Image
from playwright.sync_api import sync_playwright
from werkzeug.serving import make_server

from service.web.pages.address import code_of
from tests.support.expected import app_with
from tests.support.places import CATALOG, EXAMPLES

FOLDER = Path(__file__).parent / "shown"
# Sixteen greys and the two pencils are all there is on it.
COLOURS = 24
WIDTH, HEIGHT = 1180, 1120


def take() -> None:
    """Both pictures, small enough to lie in the repository."""
    app = app_with(CATALOG=str(CATALOG))
    asked = json.loads((EXAMPLES / "kit.json").read_text())["request"]
    query = f"units={asked['units']}&b={code_of(asked['build'])}"
    FOLDER.mkdir(exist_ok=True)
    sheet = app.test_client().get(f"/sheet?as=pdf&{query}").data
    _keep(pypdfium2.PdfDocument(sheet)[0].render(scale=1.35).to_pil(), "sheet.png")
    server = make_server("127.0.0.1", 0, app, threaded=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    with sync_playwright() as running:
        browser = running.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": WIDTH, "height": HEIGHT})
        page.goto(f"http://127.0.0.1:{server.server_port}/answer?{query}")
        _keep(Image.open(io.BytesIO(page.screenshot())), "page.png")
    server.shutdown()


def _keep(image: Image.Image, name: str) -> None:
    image.convert("RGB").quantize(COLOURS).save(FOLDER / name, optimize=True)


if __name__ == "__main__":
    take()
