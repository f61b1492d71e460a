"""Sheets as PDF: one side of paper of the right size, the words and pictures of the screen."""

import importlib.util
import json
import subprocess
import sys
from functools import cache
from urllib.parse import urlencode

import pypdfium2
import pytest

from service.__main__ import main
from service.web.pages.address import code_of
from service.web.pages.build import flat
from tests.support.places import CATALOG, EXAMPLES, ROOT
from tests.support.rules import real_rulebook
from tests.support.server import clean_environment
from tests.web.pages.scenes import KIT, TURBO

pytest.importorskip("weasyprint", reason="the extra `pdf` is not installed")
# Points of 1/72 in (ISO 216; ANSI/ASME Y14.1).
PAPERS = {"metric": (595.3, 841.9), "us": (612.0, 792.0)}
SIDES = {"above": "at most", "below": "at least"}
# Those that say most.
FULLEST = ("demo", "kit", "log-in-metric", "parts")
BUILDS = {name: json.loads((EXAMPLES / f"{name}.json").read_text())["request"]["build"] for name in FULLEST}


@pytest.fixture(scope="module")
def client(app):
    return app.test_client()


@pytest.fixture(scope="module")
def printed(client):
    """The document of a sheet; each is printed once."""

    @cache
    def document(query):
        response = client.get(f"/sheet?{query}")
        assert (response.status_code, response.mimetype) == (200, "application/pdf"), response.text
        return response.data

    def print_it(build, **words):
        query = urlencode({"units": "us", "b": code_of(build), "as": "pdf"} | words)
        return pypdfium2.PdfDocument(document(query))

    return print_it


def words_of(document):
    return " ".join("".join(page.get_textpage().get_text_range() for page in document).split())


@pytest.mark.slow
@pytest.mark.parametrize(("name", "kind"), [*((name, "build") for name in FULLEST), ("demo", "start")])
def test_the_fullest_builds_come_on_one_side(printed, name, kind):
    assert len(printed(flat(real_rulebook(), BUILDS[name]), kind=kind)) == 1


@pytest.mark.parametrize("units", PAPERS)
def test_the_paper_is_that_of_the_units(printed, units):
    document = printed(KIT, units=units)
    assert document[0].get_size() == pytest.approx(PAPERS[units], abs=0.2)
    assert len(document) == 1


def test_the_words_and_the_picture_are_those_of_the_screen(client, printed):
    text = words_of(printed(KIT))
    answer = client.post(
        "/v1/evaluations",
        json={
            "build": {"parts": {"engine": KIT["parts.engine"], "kit": KIT["parts.kit"]}}
            | {key: value for key, value in KIT.items() if not key.startswith("parts.")},
            "units": "us",
            "detail": "full",
            "moment": "order",
        },
    ).get_json()
    assert answer["headline"] in text and answer["evaluation"] in text.replace(" ", "")
    worst = answer["checks"][0]
    assert worst["title"] in text and f"{SIDES[worst['limit']['side']]} {worst['limit']['text']}" in text
    assert "Head stud torque: 90 lb-ft" in text and "Customer" in text and "Build it again" not in text


def test_the_kinds(printed):
    assert "Seen" in words_of(printed(KIT, kind="start"))
    result = words_of(printed(TURBO, kind="result", pulls="302 whp\n305 whp"))
    assert "mean 304 hp at the wheels" in result and "Planned, expected power at the crank" in result


def test_no_type_in_colour_is_needed(printed):
    """Printed in black and white nothing is lost: every colour of the sheet is a grey."""
    image = printed(KIT)[0].render(scale=1).to_pil().convert("RGB")
    colours = image.getcolors(1 << 20)
    assert all(max(colour) - min(colour) <= 8 for _, colour in colours)


def test_without_the_extra_it_says_what_to_install(client, monkeypatch):
    find = importlib.util.find_spec
    monkeypatch.setattr(
        "service.web.pages.pdf.find_spec", lambda name: None if name == "weasyprint" else find(name)
    )
    response = client.get("/sheet", query_string={"b": code_of(KIT), "as": "pdf"})
    assert (response.status_code, response.mimetype) == (501, "text/html")
    assert "pip install &#39;engine-build-rules[pdf]&#39;" in response.text
    assert client.get("/sheet", query_string={"b": code_of(KIT)}).status_code == 200


def test_the_command_writes_the_same(tmp_path, printed, monkeypatch, capsys):
    monkeypatch.setenv("CATALOG", str(CATALOG))
    out = tmp_path / "sheet.pdf"
    assert main(["sheet", str(EXAMPLES / "kit.json"), "--out", str(out)]) == 0
    build = json.loads((EXAMPLES / "kit.json").read_text())["request"]["build"]
    assert words_of(pypdfium2.PdfDocument(out)) == words_of(printed(build))
    assert main(["sheet", str(EXAMPLES / "faults.json"), "--out", str(tmp_path / "none.pdf")]) == 1
    assert "Did you mean cylinders?" in capsys.readouterr().err and not (tmp_path / "none.pdf").exists()
    wrong = ["sheet", str(EXAMPLES / "kit.json"), "--kind", "result", "--pull", "x", "--out", str(out)]
    assert main(wrong) == 1 and "402 whp" in capsys.readouterr().err


def test_nothing_of_it_is_loaded_before_it_is_used():
    code = "import service.wsgi, sys; print('weasyprint' in sys.modules, 'PIL' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env=clean_environment(), capture_output=True, text=True
    )
    assert done.stdout.split() == ["False", "False"], done.stderr
