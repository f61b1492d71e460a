"""What lies in the tree from elsewhere: unchanged since its release, with its licence, and loaded where it is
meant to be.
"""

import hashlib

import pytest

from service.web.pages.render import FOLDER as TEMPLATES
from service.web.pages.static_files import FOLDER, NAMES

READER = "vendor/swagger-ui"
# sha256 of the files in the npm packages htmx.org 4.0.1 and swagger-ui-dist 5.35.0.
RELEASED = {
    "vendor/htmx.min.js": "a0abb04f2f45a1f89d1d4844023245537e5e6014c87b144553e0607b4cc32130",
    f"{READER}/swagger-ui-bundle.js": "e6a898692f2d768e807c3ba4626068a69a2c5dd960dd6c76f3e4d3a3de180af2",
    f"{READER}/swagger-ui.css": "5ed08757e53da3e026d6cbecc61fe5d43585c9560b302d534ad56692519a273d",
}
LICENCES = {
    "vendor/htmx.LICENSE.txt": "Zero-Clause BSD",
    "vendor/swagger-ui/LICENSE.txt": "Apache License",
    "vendor/swagger-ui/NOTICE.txt": "swagger-ui",
}


@pytest.mark.parametrize("name", RELEASED)
def test_it_is_as_it_was_released(name):
    assert hashlib.sha256((FOLDER / name).read_bytes()).hexdigest() == RELEASED[name]


def test_nothing_else_is_from_elsewhere():
    vendored = {name for name in NAMES if name.startswith("vendor/") and not name.endswith(".txt")}
    assert vendored == set(RELEASED)


@pytest.mark.parametrize("name", LICENCES)
def test_its_licence_lies_beside_it(name):
    assert LICENCES[name] in (FOLDER / name).read_text()


def test_the_heavy_one_is_loaded_by_the_docs_alone():
    loading = {path.name for path in TEMPLATES.glob("*.html") if "swagger" in path.read_text()}
    assert loading == {"docs.html"}
