"""In a real browser: every screen at a phone's and a desk's width, with script and without, and a clerk's
whole path; whatever the browser complains about fails the test (`look`).
"""

import pypdfium2
import pytest

from service.web.access.tokens import hash_of
from tests.support.expected import app_with
from tests.web.pages.conftest import DESK, PHONE
from tests.web.pages.scenes import DOCS, EIGHT, SCREENS, address

pytestmark = pytest.mark.slow


def test_every_screen_at_both_widths(look, site):
    page = look(PHONE).page
    for name, path in SCREENS.items():
        page.goto(site + path)
        for width in (PHONE, DESK):
            page.set_viewport_size({"width": width, "height": 900})
            assert page.locator("h1").first.is_visible(), name
            # Nothing is wider than the screen, so nobody scrolls sideways to read.
            assert page.evaluate("document.documentElement.scrollWidth") <= width, name


def test_every_screen_without_script(look, site, app):
    """A page that loads none is the same without; the others are looked at."""
    client = app.test_client()
    scripted = [path for path in SCREENS.values() if "<script" in client.get(path).text]
    assert 3 < len(scripted) < len(SCREENS)
    page = look(PHONE, script=False).page
    for path in scripted:
        page.goto(site + path)
        for width in (PHONE, DESK):
            page.set_viewport_size({"width": width, "height": 900})
            assert page.locator("h1").first.is_visible() and page.locator("footer").is_visible(), path


def test_the_contract_is_there_to_read_and_to_try(look, site):
    page = look().page
    page.goto(site + DOCS)
    page.locator("#operations-builds-create_evaluation button.opblock-summary-control").click()
    page.get_by_role("button", name="Try it out").click()
    page.get_by_role("button", name="Execute").click()
    page.locator(".responses-table .response .response-col_status", has_text="200").first.wait_for()


def test_without_script_the_docs_name_the_contract(look, site):
    page = look(script=False).page
    page.goto(site + DOCS)
    assert page.get_by_role("link", name="/openapi.json").is_visible()


def fill_in(page):
    for path, text in EIGHT.items():
        field = page.locator(f'[name="{path}"]')
        if field.evaluate("node => node.tagName") == "SELECT":
            field.select_option(text)
        else:
            field.fill(text)
    page.get_by_role("button", name="Judge it").first.click()


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_from_eight_fields_to_a_printed_sheet(look, site, script):
    page = look(DESK, True).page if script else look(PHONE, False).page
    page.goto(site)
    fill_in(page) if script else fill_in_blindly(page)
    page.get_by_role("heading", level=1).filter(has_text="Workable, with caution").wait_for()
    page.get_by_label("What will the compression ratio be?").fill("9.5")
    page.get_by_role("button", name="Judge again").first.click()
    page.locator(".given").filter(has_text="Compression ratio").wait_for()
    page.get_by_role("link", name="Put it in and judge again").click()
    page.locator(".given").filter(has_text="48 lb/h").wait_for()
    page.get_by_role("link", name="Build sheet").click()
    page.locator("article.sheet").wait_for()
    assert page.get_by_text("Compression ratio").first.is_visible()
    printed = pypdfium2.PdfDocument(page.pdf(prefer_css_page_size=True))
    text = printed[0].get_textpage().get_text_range()
    assert len(printed) == 1
    assert "Watch on the dyno" in text and "Customer" in text and "Judge again" not in text


def fill_in_blindly(page):
    """Without script a page is asked nothing; the keyboard does it all."""
    for path, text in EIGHT.items():
        field = page.locator(f'[name="{path}"]')
        if path in ("usage", "induction.kind"):
            field.select_option(text)
        else:
            field.fill(text)
    page.locator('[name="target.power"]').press("Enter")


def test_an_answer_joins_the_page_without_a_new_one(look, site):
    """With script the page stays where it is, and the address follows."""
    page = look().page
    page.goto(site + SCREENS["the answer"])
    page.evaluate("window.stays = true")
    before = page.url
    page.get_by_label("What will the compression ratio be?").fill("9.5")
    page.get_by_role("button", name="Judge again").first.click()
    page.locator(".given").filter(has_text="Compression ratio").wait_for()
    assert page.evaluate("window.stays") and page.url != before and "/answer?" in page.url
    # Whoever listens hears the new verdict, and the keyboard goes on from there.
    assert page.evaluate("document.activeElement.tagName") == "H1"
    page.go_back()
    page.locator(".given").filter(has_not_text="Compression ratio").wait_for()
    page.go_forward()
    page.locator(".given").filter(has_text="Compression ratio").wait_for()
    assert page.goto(page.url).status == 200
    assert page.locator(".given").filter(has_text="Compression ratio").is_visible()


def test_the_keyboard_goes_everywhere(look, site):
    page = look().page
    page.goto(site)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the content"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.name") == "usage"
    page.keyboard.type("street")
    for text in ("8", "5.0 L"):
        page.keyboard.press("Tab")
        page.keyboard.type(text)
    page.keyboard.press("Enter")
    page.locator(".given").filter(has_text="5.0 L").wait_for()


def test_pulls_on_the_dyno(look, site):
    page = look(PHONE).page
    page.goto(site + SCREENS["the dyno"])
    page.get_by_label("Pulls with A").fill("rpm, whp\n3000, 201\n5000, 301\n\n3000, 202\n5000, 303")
    page.get_by_label("Pulls with B").fill("rpm, whp\n3000, 221\n5000, 331\n\n3000, 223\n5000, 330")
    page.get_by_role("button", name="Compare the pulls").click()
    assert page.locator("figure svg").count() == 2
    page.get_by_label("Pulls of this build").fill("402 whp\n405 whp")
    page.get_by_role("button", name="Hold the plan against them").click()
    page.get_by_role("link", name="Print the result").click()
    assert page.locator("article.sheet.result").get_by_text("What the pulls imply").is_visible()


def test_signing_in(look, serve, tmp_path):
    token = "desk-" + "d" * 38
    (tmp_path / "tokens.yaml").write_text(f"desk:\n  scopes: [evaluate, read]\n  hash: {hash_of(token)}\n")
    site = serve(app_with(TOKENS=str(tmp_path / "tokens.yaml")))
    page = look().page
    page.goto(site + address("/answer", {"usage": "street"}))
    page.get_by_label("Token").fill("wrong")
    page.get_by_role("button", name="Sign in").click()
    page.get_by_text("not one of those in use").wait_for()
    page.get_by_label("Token").fill(token)
    page.get_by_role("button", name="Sign in").click()
    page.locator(".given").filter(has_text="street").wait_for()
    (cookie,) = page.context.cookies()
    assert cookie["httpOnly"] and cookie["sameSite"] == "Strict" and page.evaluate("document.cookie") == ""
    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("heading", name="Sign in").wait_for()
    page.goto(f"{site}/")
    assert page.get_by_label("Token").is_visible()
