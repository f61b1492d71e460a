"""Rules of accessibility (axe-core: WCAG 2.2 A and AA, good practice), over every screen in the browser."""

import pytest

from tests.web.pages.conftest import DESK, PHONE
from tests.web.pages.scenes import SCREENS

pytestmark = pytest.mark.slow


# Screens that hold nothing which another one lacks.
SEEN_ELSEWHERE = (
    "what you have",
    "nothing yet",
    "two builds",
    "parts",
    "hostile",
    "first start",
    "a compressor map",
)
FOLDED = ("faults", "the answer to a kit", "what you need")
AT_A_DESK = ("the answer", "build sheet")


@pytest.fixture
def complaints(look, site):
    """What axe finds on the screens."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()

    def find(width, names):
        page = look(width).page
        for name in names:
            page.goto(site + SCREENS[name])
            if name in FOLDED:
                page.evaluate(
                    "document.querySelectorAll('details:nth-of-type(-n+4)').forEach(node => node.open = true)"
                )
            for rule in axe.run(page, options={"resultTypes": ["violations"]}).response["violations"]:
                yield name, rule["id"], rule["nodes"][0]["html"][:200]

    return find


def test_axe_finds_nothing_on_a_phone(complaints):
    assert list(complaints(PHONE, [name for name in SCREENS if name not in SEEN_ELSEWHERE])) == []


def test_axe_finds_nothing_at_a_desk(complaints):
    assert list(complaints(DESK, AT_A_DESK)) == []


def test_axe_finds_something_where_there_is_something(look):
    page = look().page
    page.set_content("<p style='color:#bbb'>pale</p>")
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    assert "color-contrast" in [rule["id"] for rule in axe.run(page).response["violations"]]
