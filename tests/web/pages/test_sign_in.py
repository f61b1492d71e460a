"""Where tokens are on: signing in at a page, what the cookie may do, and what other sites may not."""

import pytest

from service.web.access.cookie import NAME
from service.web.access.headers import PAGES, policy_of
from service.web.access.tokens import hash_of
from tests.support.expected import app_with

BOTH, READS = "both-" + "b" * 38, "reads-" + "r" * 37
HERE = {"Sec-Fetch-Site": "same-origin"}
ELSEWHERE = [
    {"Sec-Fetch-Site": "cross-site"},
    {"Sec-Fetch-Site": "same-site"},
    {"Origin": "https://elsewhere.example"},
    {"Origin": "null"},
    {"Origin": "http://localhost:99"},
]


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    path = tmp_path_factory.mktemp("tokens") / "tokens.yaml"
    scopes = {BOTH: "[evaluate, read]", READS: "[read]"}
    path.write_text(
        "".join(
            f"{token[:4]}:\n  scopes: {scope}\n  hash: {hash_of(token)}\n" for token, scope in scopes.items()
        )
    )
    return app_with(HOST="0.0.0.0", TOKENS=str(path))


@pytest.fixture
def client(app):
    return app.test_client()


@pytest.fixture
def sign_in(client):
    def with_token(token=BOTH, headers=HERE, **words):
        return client.post("/sign-in", data={"token": token} | words, headers=headers)

    return with_token


def test_whoever_is_not_signed_in_is_asked_to(client):
    response = client.get("/answer?b=abc&units=us")
    assert response.status_code == 303
    assert response.headers["Location"] == "/sign-in?next=%2Fanswer%3Fb%3Dabc%26units%3Dus"
    page = client.get(response.headers["Location"])
    assert page.status_code == 200 and 'value="/answer?b=abc&amp;units=us"' in page.text


def test_a_token_is_taken_once_and_kept_by_the_browser(client, sign_in):
    response = sign_in(next="/needs?units=us")
    assert (response.status_code, response.headers["Location"]) == (303, "/needs?units=us")
    cookie = response.headers["Set-Cookie"]
    assert cookie.startswith(f"{NAME}={BOTH};")
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= set(cookie.split("; "))
    assert "Expires" not in cookie and "Max-Age" not in cookie
    assert client.get("/needs?units=us", headers=HERE).status_code == 200


@pytest.mark.parametrize(
    ("host", "secure"), [("localhost", False), ("127.0.0.1:8077", False), ("shop.example", True)]
)
def test_beyond_this_machine_the_cookie_is_for_tls_alone(app, host, secure):
    response = app.test_client().post(
        "/sign-in", data={"token": BOTH}, headers=HERE, base_url=f"http://{host}"
    )
    assert ("Secure" in response.headers["Set-Cookie"].split("; ")) == secure


def test_a_token_that_is_none_is_asked_for_again(sign_in):
    response = sign_in("nonsense")
    assert response.status_code == 401 and "not one of those in use" in response.text
    assert "Set-Cookie" not in response.headers and "nonsense" not in response.text


@pytest.mark.parametrize("wanted", ["https://elsewhere.example", "//elsewhere.example", "/\\elsewhere", "x"])
def test_signing_in_leads_to_no_other_site(sign_in, wanted):
    assert sign_in(next=wanted).headers["Location"] == "/"


def test_signing_out(client, sign_in):
    sign_in()
    response = client.post("/sign-out", data={}, headers=HERE | {"Content-Type": FORM})
    assert response.status_code == 303 and response.headers["Location"] == "/sign-in"
    assert client.get("/", headers=HERE).status_code == 303


FORM = "application/x-www-form-urlencoded"


@pytest.mark.parametrize("headers", ELSEWHERE)
def test_other_sites_send_no_form(sign_in, client, headers):
    sign_in()
    for path in ("/", "/compare", "/dyno", "/sign-in", "/sign-out"):
        response = client.post(path, data={"token": BOTH}, headers=headers)
        assert response.status_code == 403 and "somewhere else" in response.text, path
        assert "Set-Cookie" not in response.headers


@pytest.mark.parametrize("headers", ELSEWHERE)
def test_the_api_takes_the_cookie_from_no_other_site(client, sign_in, headers):
    sign_in()
    assert client.post("/v1/evaluations", json={"build": {}}, headers=headers).status_code == 401
    assert client.get("/v1/inputs", headers=headers).status_code == 401


def test_the_api_takes_the_cookie_from_a_page(client, sign_in):
    sign_in()
    assert client.post("/v1/evaluations", json={"build": {}}, headers=HERE).status_code == 200
    assert client.get("/v1/inputs", headers={"Sec-Fetch-Site": "none"}).status_code == 200
    # Nobody types a POST; a program that is no browser sends its token in the header.
    assert client.post("/v1/evaluations", json={"build": {}}).status_code == 401
    own = {"Origin": "http://localhost"}
    assert client.post("/v1/evaluations", json={"build": {}}, headers=own).status_code == 200


def test_a_token_that_may_only_read_reads_the_rules(client, sign_in):
    sign_in(READS)
    assert (
        client.get("/rules", headers=HERE).status_code == client.get("/docs", headers=HERE).status_code == 200
    )
    response = client.get("/answer", headers=HERE)
    assert (response.status_code, response.mimetype) == (403, "text/html")
    assert "lacks the scope `evaluate`" in response.text and "/sign-in" in response.text


def test_pages_take_the_header_as_well(client):
    assert client.get("/", headers={"Authorization": f"Bearer {BOTH}"}).status_code == 200


def test_without_tokens_nobody_has_to_sign_in():
    client = app_with().test_client()
    assert client.get("/").status_code == 200
    assert "needs no token" in client.get("/sign-in").text
    assert client.get("/", base_url="http://elsewhere.example").status_code == 403


def test_a_page_may_load_what_is_its_own_and_the_api_nothing(client, app):
    pages = {
        rule.rule
        for rule in app.url_map.iter_rules()
        if rule.endpoint.startswith("pages.") and "GET" in rule.methods and "<" not in rule.rule
    }
    # Signing out is no page, but its refusal is.
    assert pages | {"/sign-out"} == PAGES | {"/docs"}
    for path in pages | {"/rules/knock-margin"}:
        policy = client.get(path).headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy and "script-src 'self'" in policy
        assert "unsafe" not in policy and "*" not in policy and "frame-ancestors 'none'" in policy
        assert ("data:" in policy) == (path == "/docs")
    for path in ("/v1/inputs", "/openapi.json", "/healthz", "/problems", "/static/page.css", "/none"):
        assert "script-src" not in policy_of(path)
    headers = client.get("/sign-in").headers
    assert headers["Referrer-Policy"] == headers["Cross-Origin-Opener-Policy"] == "same-origin"


@pytest.mark.parametrize(
    ("sent", "status"),
    [
        ({"data": b"a=" + b"1" * 70_000, "content_type": FORM}, 413),
        ({"json": {}}, 415),
        ({"data": b"", "content_type": FORM, "headers": HERE | {"Transfer-Encoding": "chunked"}}, 411),
    ],
)
def test_what_is_no_form_is_refused_as_a_page(client, sign_in, sent, status):
    sign_in()
    response = client.post("/", **{"headers": HERE} | sent)
    assert (response.status_code, response.mimetype) == (status, "text/html")


def test_files_are_kept_by_the_browser_until_they_change(client):
    page = client.get("/sign-in").text
    address = page.split('rel="stylesheet" href="')[1].split('"')[0]
    response = client.get(address)
    assert response.status_code == 200 and "immutable" in response.headers["Cache-Control"]
    assert response.mimetype == "text/css"
    assert client.get(address, headers={"If-None-Match": response.headers["ETag"]}).status_code == 304
    assert client.get("/static/page.css?v=old").headers["Cache-Control"] == "no-cache"
    for path in ("/static/none.css", "/static/../routes.py", "/static/vendor"):
        assert client.get(path).status_code == 404
