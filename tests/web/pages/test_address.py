"""A build in an address: there and back, short, and nothing else than a build."""

import base64
import random
import re
import zlib

import pytest

from service.errors import SpecError
from service.web.pages.address import LONGEST_CODE, TOO_LONG, build_of, code_of
from service.web.pages.asked import asked
from tests.support.places import ROOT

BUILD = {"engine.displacement": "5.0 L", "fuel.grade": "93 AKI", "engine.cylinders": 8, "usage": "straße <b>"}


def test_there_and_back():
    assert build_of(code_of(BUILD)) == BUILD
    assert build_of("") == {}


def test_the_order_of_fields_makes_no_other_address():
    assert code_of(BUILD) == code_of(dict(reversed(BUILD.items())))


def test_a_whole_spec_is_short(example):
    build = example("demo")["request"]["build"]
    assert len(code_of(build)) < 700


@pytest.mark.parametrize(
    "code",
    [
        "%",
        "abc",
        "!!!!",
        "AAAA",
        code_of(BUILD)[:-9],
        base64.urlsafe_b64encode(b"[]").decode(),
        "ü" * 9,
        "=" * 8,
    ],
)
def test_what_is_no_build_is_refused(code):
    with pytest.raises(SpecError, match="cut short or mistyped"):
        build_of(code)


def test_a_list_is_no_build():
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    packed = packer.compress(b"[1]") + packer.flush()
    with pytest.raises(SpecError):
        build_of(base64.urlsafe_b64encode(packed).rstrip(b"=").decode())


def test_a_short_code_does_not_unpack_without_end():
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    packed = packer.compress(b'{"usage": "' + b"a" * 10_000_000 + b'"}') + packer.flush()
    with pytest.raises(SpecError):
        build_of(base64.urlsafe_b64encode(packed).rstrip(b"=").decode())


def test_a_build_too_long_for_an_address_is_refused():
    letters = random.Random(7).choices("abcdefghijklmnopqrstuvwxyz0123456789", k=2 * LONGEST_CODE)
    with pytest.raises(SpecError, match="more than an address holds"):
        code_of({"usage": "".join(letters)})
    with pytest.raises(SpecError, match="more than an address holds"):
        build_of(TOO_LONG)


def test_a_server_takes_the_longest_address(gunicorn_line):
    assert LONGEST_CODE + len("GET /compare?") + len(" HTTP/1.1") + 100 < gunicorn_line


@pytest.fixture
def gunicorn_line():
    settings = (ROOT / "docker" / "gunicorn.conf.py").read_text()
    return int(re.search(r"^limit_request_line = (\d+)$", settings, re.MULTILINE)[1])


def test_a_link_to_a_build_that_grew_too_long_says_so(app):
    """A plan may put in more than fits; the page with the link is shown all the same."""
    letters = random.Random(7).choices("abcdefghijklmnopqrstuvwxyz0123456789", k=2 * LONGEST_CODE)
    with app.test_request_context("/answer?units=us"):
        about = asked().with_typed("usage", "".join(letters))
        assert about.address("/answer") == f"/answer?units=us&b={TOO_LONG}"
    page = app.test_client().get(f"/answer?units=us&b={TOO_LONG}")
    assert page.status_code == 422 and "more than an address holds" in page.text
