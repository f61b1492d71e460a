"""docker/nginx.conf says what the service says: the same limits, the same calls, problems of the
same form.
"""

import json
import re

import pytest

from service.web.api.body import MAX_BATCH, MAX_BODY
from service.web.api.problem_codes import PROBLEMS
from service.web.api.problems import CODES
from service.web.server.worker import REFUSED
from tests.docker.gateway import configuration
from tests.support.expected import app_with

HTTP = configuration()
(SERVER,) = HTTP.every("server")
SIZES = {"k": 1024, "m": 1024 * 1024}
# For a request that is not HTTP the gateway has other words than the service has for a body that is not JSON.
OWN = {400}
# A form is taken from a page of the service only.
FROM_A_PAGE = {"Sec-Fetch-Site": "same-origin"}


def size(text):
    return int(text[:-1]) * SIZES[text[-1]] if text[-1] in SIZES else int(text)


def seconds(text):
    return int(re.fullmatch(r"(\d+)s", text)[1])


def location(path):
    """The location nginx picks: an exact one, else the first expression that matches, else the longest
    beginning.
    """
    places = [(one.words[1:], one) for one in SERVER.every("location")]
    exact = [one for words, one in places if words == ["=", path]]
    matching = [one for words, one in places if words[0] == "~" and re.search(words[1], path)]
    beginning = sorted(
        (len(words[0]), one) for words, one in places if len(words) == 1 and path.startswith(words[0])
    )
    return (exact or matching or [beginning[-1][1]])[0]


def most(path):
    place = location(path)
    return size((place if place.every("client_max_body_size") else SERVER).value("client_max_body_size"))


@pytest.fixture(scope="module")
def app():
    return app_with()


def paths(app, method):
    return sorted(
        re.sub(r"<[^>]*>", "x", rule.rule) for rule in app.url_map.iter_rules() if method in rule.methods
    )


def test_every_call_has_the_limit_that_the_service_has(app):
    limits = {}
    for path in paths(app, "POST"):
        statuses = {
            most: app.test_client()
            .post(path, data=b" " * most, content_type="text/plain", headers=FROM_A_PAGE)
            .status_code
            for most in (MAX_BODY + 1, MAX_BATCH + 1)
        }
        assert statuses[MAX_BATCH + 1] == 413, path
        limits[path] = MAX_BODY if statuses[MAX_BODY + 1] == 413 else MAX_BATCH
    assert set(limits.values()) == {MAX_BODY, MAX_BATCH}
    assert {path: most(path) for path in limits} == limits


def test_a_body_is_kept_in_memory_up_to_its_limit():
    assert all(
        size(place.value("client_body_buffer_size")) == size(place.value("client_max_body_size"))
        for place in (SERVER, location("/v1/sweeps"))
    )


def test_every_call_is_served_but_those_for_the_inside(app):
    served = {
        path
        for method in ("GET", "POST")
        for path in paths(app, method)
        if location(path).every("proxy_pass")
    }
    assert set(paths(app, "GET")) | set(paths(app, "POST")) == served | {"/readyz", "/metrics"}


def test_no_location_forgets_what_the_server_sets():
    """A directive of these kinds in a location would put all those above it out of force."""
    inherited = ("proxy_set_header", "limit_req", "limit_conn", "error_page")
    assert not [one for one in SERVER.every("location") for name in inherited if one.every(name)]


def problem_bodies():
    statuses = {
        int(code)
        for one in SERVER.every("error_page")
        for code in one.words[1:-1]
        if code.isdigit() and code != "494"
    } | {431}
    template = location("/problem").value("return", "200")
    for status in sorted(statuses):
        text = template.replace("$status", str(status))
        for name in ("problem_code", "problem_title", "problem_detail"):
            table = HTTP.map(f"${name}")
            assert str(status) in table, f"{status} has no {name}"
            text = text.replace(f"${name}", table[str(status)])
        yield status, json.loads(text)


@pytest.mark.parametrize("status, body", list(problem_bodies()))
def test_problems_have_the_form_and_the_words_of_the_service(status, body, problem_faults):
    assert problem_faults(body) == []
    assert body["status"] == status and body["type"] == f"/problems/{body['code']}"
    if status not in OWN:
        assert (body["title"], status) == (PROBLEMS[body["code"]].title, PROBLEMS[body["code"]].status)
        assert body["code"] == CODES.get(status, body["code"])


def test_the_words_on_the_size_of_a_body_are_right():
    assert {int(number) for number in re.findall(r"\d{4,}", HTTP.map("$problem_detail")["413"])} == {
        MAX_BODY,
        MAX_BATCH,
    }


def test_every_problem_has_a_code_of_its_own():
    codes = [body["code"] for _, body in problem_bodies()]
    assert len(set(codes)) == len(codes)


def test_times_fit_those_of_gunicorn(gunicorn_settings):
    (upstream,) = HTTP.every("upstream")
    assert seconds(upstream.value("keepalive_timeout")) < gunicorn_settings["keepalive"]
    assert seconds(SERVER.value("proxy_read_timeout")) > gunicorn_settings["timeout"]
    assert (
        seconds(SERVER.value("proxy_connect_timeout"))
        < seconds(SERVER.value("proxy_next_upstream_timeout"))
        < seconds(SERVER.value("proxy_read_timeout"))
    )


def test_a_server_is_not_passed_over_for_connections_that_a_worker_broke_off():
    """Each of those that nginx keeps may be one, and each counts as a failure."""
    (upstream,) = HTTP.every("upstream")
    for one in upstream.every("server"):
        (most,) = [int(word.partition("=")[2]) for word in one.words if word.startswith("max_fails=")]
        assert most > int(upstream.value("keepalive"))
    # Without it every worker of nginx would have to find out for itself.
    assert upstream.every("zone")


def test_no_line_passes_that_gunicorn_refuses(gunicorn_settings):
    longest = size(SERVER.value("large_client_header_buffers").split()[1])
    assert (
        size(SERVER.value("client_header_buffer_size"))
        <= longest
        <= min(gunicorn_settings["limit_request_line"], gunicorn_settings["limit_request_field_size"])
    )


def test_a_calculation_that_failed_is_repeated_once():
    assert set(SERVER.value("proxy_next_upstream").split()) == {
        "error",
        "timeout",
        "http_502",
        "non_idempotent",
    }
    assert SERVER.value("proxy_next_upstream_tries") == "2"


def test_the_log_names_no_header_but_the_trace():
    (form,) = HTTP.every("log_format")
    assert set(re.findall(r"\$(?:sent_|upstream_)?http_\w+", form.words[-1])) == {"$http_traceparent"}


def test_what_gunicorn_refuses_has_the_words_of_the_gateway():
    refused = {PROBLEMS[code].status: (code, PROBLEMS[code].title) for code in REFUSED.values()}
    told = {
        status: (HTTP.map("$problem_code")[str(status)], HTTP.map("$problem_title")[str(status)])
        for status in (414, 431, 501)
    }
    assert {status: refused[status] for status in told} == told
