"""`python -m service show`: a verdict a person can read, over HTTP."""

import json
import re
import socket
from threading import Thread
from urllib.error import URLError

import pytest
from werkzeug.serving import WSGIRequestHandler, make_server

from service.__main__ import main
from service.app import create_app
from service.commands.answer_text import STOPS_SHOWN, WIDTH, render
from service.commands.colour import Paint
from tests.support.places import EXAMPLES

DEMO = EXAMPLES / "demo.json"


class Quiet(WSGIRequestHandler):
    def log(self, type, message, *args):
        pass


@pytest.fixture(scope="module")
def app():
    return create_app()


@pytest.fixture(scope="module")
def url(app):
    server = make_server("127.0.0.1", 0, app, threaded=True, request_handler=Quiet)
    thread = Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.fixture(scope="module")
def answer(app):
    return (
        app.test_client()
        .post("/v1/evaluations", json=json.loads(DEMO.read_text())["request"] | {"detail": "full"})
        .get_json()
    )


def test_the_demo(url, capsys):
    assert main(["show", str(DEMO), "--url", url]) == 0
    out = capsys.readouterr().out
    assert out.startswith("FAIL  ")
    assert "What stops it" in out and "Injector size" in out
    assert "To fix it" in out and "What it comes to" in out and "Ask next" in out
    assert "checks need more facts (--all)" in out and "not that an engine is safe" in out
    # One screen, and no machine names.
    assert (
        len(out.splitlines()) <= 50 and "fuel_system." not in out and "assumed" not in out.split("(--all)")[1]
    )


def test_the_working_of_a_check(url, capsys):
    assert main(["show", str(DEMO), "--url", url, "--working", "injector-duty"]) == 0
    out = capsys.readouterr().out
    # By hand: 7.0 lb/hp/h of air over 14.65 x 0.82 is 0.583 lb/hp/h of fuel, 320.5 lb/h for 550 hp.
    assert "Working of injector-duty:" in out and "320 lb/h" in out


def test_everything(url, capsys):
    assert main(["show", str(DEMO), "--url", url, "--all"]) == 0
    out = capsys.readouterr().out
    assert "Assumed, because you didn't say" in out and "Not judged" in out


def test_a_plain_request(url, tmp_path, capsys):
    file = tmp_path / "request.json"
    file.write_text(
        '{"build": {"induction": {"boost": "15 psi"}, "sensors": {"manifold_pressure_range": "2 bar"}}, '
        '"detail": "spoken"}'
    )
    assert main(["show", str(file), "--url", url]) == 0
    assert capsys.readouterr().out.startswith("FAIL  Won't work as planned: ")


@pytest.mark.parametrize(
    "name", ["limits-boost", "dyno-comparison", "dyno-correction", "calibration", "speed-curves", "sweep"]
)
def test_other_calls_say_what_matters_first(url, capsys, name):
    file = EXAMPLES / f"{name}.json"
    assert main(["show", str(file), "--url", url]) == 0
    first = capsys.readouterr().out.splitlines()[0]
    assert first and not first.startswith("{")


def test_a_refused_request(url, tmp_path, capsys):
    file = tmp_path / "request.json"
    file.write_text('{"build": {"induction": {"boost": 15}}}')
    assert main(["show", str(file), "--url", url]) == 1
    told = capsys.readouterr().err
    assert "/build/induction/boost: " in told and "Expected: " in told and "{" not in told


def test_no_service(capsys):
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    assert main(["show", str(DEMO), "--url", f"http://127.0.0.1:{port}"]) == 1
    assert "does not answer" in capsys.readouterr().err


def test_no_file(tmp_path, capsys):
    assert main(["show", str(tmp_path / "none.json"), "--url", "http://127.0.0.1:1"]) == 1
    assert "cannot be read" in capsys.readouterr().err


PLAIN = Paint(on=False)


def test_every_check_has_its_line(answer):
    lines = render(answer, PLAIN, whole=True).splitlines()
    for entry in answer["checks"]:
        assert any(line.strip().startswith(entry["verdict"]) and entry["title"] in line for line in lines)
    for entry in answer["open"]["needs"]:
        assert any(line.strip().startswith(f"{entry['check']}:") for line in lines)


def test_texts_are_wrapped(answer):
    lines = render(answer, PLAIN, whole=True).splitlines()
    assert all(len(line) <= WIDTH for line in lines if line.startswith("         "))


def test_worst_first(answer):
    words = [
        line.split()[0] for line in render(answer, PLAIN, whole=True).splitlines() if line.startswith("  ")
    ]
    words = [word for word in words if word in ("fail", "warn", "pass")]
    assert words == sorted(words, key=("fail", "warn", "pass").index) and len(set(words)) == 3


def test_more_than_three_are_counted(answer):
    text = render(answer, PLAIN)
    trouble = sum(entry["verdict"] != "pass" for entry in answer["checks"])
    assert trouble <= STOPS_SHOWN or f"... and {trouble - STOPS_SHOWN} more (--all)" in text


def test_the_working_of_a_check_that_was_not_judged(answer):
    text = render(answer, PLAIN, working="clutch-facing-pressure")
    assert "clutch-facing-pressure was not judged" in text


def test_a_check_that_no_input_would_settle(answer):
    needs = [
        {"check": "rope", "needs": []},
        {"check": "hook", "needs": [["a", "b"], ["c"]]},
        {"check": "drum", "needs": [], "reason": "The drum can't be calculated."},
    ]
    text = render(answer | {"open": {"count": 3, "needs": needs}}, PLAIN, whole=True)
    assert "rope: nothing would answer it" in text and "hook: needs a or b; c" in text
    assert "drum: The drum can't be calculated." in text


def test_colour_is_an_addition(answer):
    painted = render(answer, Paint(on=True))
    assert "\033[31mFAIL" in painted
    assert re.sub(r"\033\[[0-9]+m", "", painted) == render(answer, PLAIN)


def test_the_token_of_a_file_is_sent(tmp_path, monkeypatch, capsys):
    sent = []

    def nobody(request, timeout):
        sent.append(request.get_header("Authorization"))
        raise URLError("nobody is there")

    monkeypatch.setattr("urllib.request.urlopen", nobody)
    (tmp_path / "token").write_text("secret-word\n")
    assert (
        main(["show", str(DEMO), "--url", "http://127.0.0.1:1", "--token-file", str(tmp_path / "token")]) == 1
    )
    assert sent == ["Bearer secret-word"] and "secret-word" not in "".join(capsys.readouterr())
