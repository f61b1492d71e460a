"""Who is let in: each scope to its calls, nobody without a token where there are tokens, nobody from
elsewhere where there are none.
"""

import io

import pytest

from service.web.access.tokens import hash_of
from tests.support.expected import app_with

BOTH, ASKS, READS, OLD = "both-" + "b" * 38, "asks-" + "a" * 38, "reads-" + "r" * 37, "old-" + "o" * 39
POSTS = [
    f"/v1/{name}"
    for name in (
        "evaluations",
        "evaluation-batches",
        "sweeps",
        "selections",
        "limits",
        "requirements",
        "solutions",
        "build-comparisons",
        "speed-curves",
        "dyno-corrections",
        "dyno-comparisons",
        "calibrations",
    )
]
PAGES = [
    "/v1/checks",
    "/v1/checks/knock-margin",
    "/v1/inputs",
    "/v1/inputs/usage",
    "/v1/quantities",
    "/v1/functions",
    "/v1/functions/sqrt",
    "/v1/fuels",
    "/v1/sources",
    "/v1/parts",
    "/v1/parts/none",
    "/v1/words?q=boost",
    "/openapi.json",
    "/openapi-compact.json",
    "/readyz",
    "/metrics",
]
OPEN = ["/healthz", "/problems", "/problems/<code>"]


@pytest.fixture(scope="module")
def guarded(tmp_path_factory):
    """The app with four tokens, reachable from anywhere."""
    path = tmp_path_factory.mktemp("tokens") / "tokens.yaml"
    scopes = {BOTH: "[evaluate, read]", ASKS: "[evaluate]", READS: "[read]", OLD: "[evaluate, read]"}
    path.write_text(
        "".join(
            f"{token[:4].strip('-')}:\n  scopes: {scope}\n  hash: {hash_of(token)}\n"
            for token, scope in scopes.items()
        )
    )
    return app_with(HOST="0.0.0.0", TOKENS=str(path), CORS_ORIGINS="https://counter.example").test_client()


@pytest.fixture(scope="module")
def local():
    return app_with().test_client()


def bearer(token):
    return {"Authorization": f"Bearer {token}"}


def refused(response, status, code):
    assert (response.status_code, response.mimetype, response.get_json()["code"]) == (
        status,
        "application/problem+json",
        code,
    )
    assert response.headers["WWW-Authenticate"].startswith("Bearer")


def test_the_lists_above_are_all_there_is(guarded):
    rules = [
        rule
        for rule in guarded.application.url_map.iter_rules()
        if rule.rule not in OPEN and not rule.endpoint.startswith("pages.")
    ]
    assert {rule.rule for rule in rules if "POST" in rule.methods} == set(POSTS)
    assert len([rule for rule in rules if "GET" in rule.methods]) == len(PAGES)


@pytest.mark.parametrize("path", POSTS + PAGES + ["/v1/none", "/v1/evaluations/1"])
def test_nobody_without_a_token(guarded, path):
    refused(guarded.open(path, method="POST" if path in POSTS else "GET"), 401, "no-token")


def test_only_that_it_answers_and_what_a_refusal_means_is_told_to_everybody(guarded):
    response = guarded.get("/healthz")
    assert (response.status_code, response.get_json()) == (200, {"status": "ok"})
    refusal = guarded.get("/v1/checks").get_json()
    assert guarded.get(refusal["type"]).get_json()["code"] == refusal["code"] == "no-token"
    assert guarded.get("/problems").status_code == 200


@pytest.mark.parametrize("path", POSTS)
def test_evaluate(guarded, path):
    for token in (BOTH, ASKS, OLD):
        assert guarded.post(path, json={}, headers=bearer(token)).status_code == 422
    response = guarded.post(path, json={}, headers=bearer(READS))
    refused(response, 403, "scope")
    assert 'scope="evaluate"' in response.headers["WWW-Authenticate"]


@pytest.mark.parametrize("path", PAGES)
def test_read(guarded, path):
    for token in (BOTH, READS, OLD):
        assert guarded.get(path, headers=bearer(token)).status_code == (
            404 if path == "/v1/parts/none" else 200
        )
    refused(guarded.get(path, headers=bearer(ASKS)), 403, "scope")


@pytest.mark.parametrize(
    "presented", ["", "Bearer", "Bearer ", f"Basic {BOTH}", BOTH, f"Token {BOTH}", f"Bearer{BOTH}"]
)
def test_no_token_to_speak_of(guarded, presented):
    refused(guarded.get("/v1/checks", headers={"Authorization": presented}), 401, "no-token")


@pytest.mark.parametrize(
    "token",
    [
        BOTH[:-1],
        BOTH + "x",
        BOTH.upper(),
        hash_of(BOTH),
        "x" * 10_000,
        "bö",
        f"{BOTH} {BOTH}",
        f"{BOTH},{BOTH}",
    ],
)
def test_an_unknown_token(guarded, token):
    response = guarded.get(
        "/v1/checks", headers={"Authorization": f"Bearer {token}".encode().decode("latin-1")}
    )
    refused(response, 401, "unknown-token")
    assert token not in response.text


def test_the_scheme_is_read_in_any_case(guarded):
    # RFC 9110, 11.1: the name of a scheme is case-insensitive.
    assert guarded.get("/v1/checks", headers={"Authorization": f"bearer {BOTH}"}).status_code == 200


def test_a_token_in_the_address_is_no_token(guarded):
    assert guarded.get(f"/v1/checks?access_token={BOTH}").status_code == 401


def test_a_body_is_not_read_before_the_caller_is_known(guarded):
    class Unread(io.BytesIO):
        def read(self, *_):
            raise AssertionError("the body was read")

    response = guarded.post("/v1/evaluations", input_stream=Unread(b"{}"), content_type="application/json")
    refused(response, 401, "no-token")


def from_elsewhere(address):
    return {"environ_overrides": {"REMOTE_ADDR": address}}


@pytest.mark.parametrize("address", ["10.0.0.5", "203.0.113.7", "fe80::1", "::ffff:10.0.0.5"])
def test_without_tokens_nobody_from_elsewhere(local, address):
    response = local.get("/v1/checks", **from_elsewhere(address))
    assert (response.status_code, response.get_json()["code"]) == (403, "local-only")
    assert local.get("/healthz", **from_elsewhere(address)).status_code == 200


@pytest.mark.parametrize(
    "header", ["X-Forwarded-For", "Forwarded", "Via", "X-Real-IP", "X-Forwarded-Host", "X-Forwarded-Proto"]
)
def test_without_tokens_nothing_that_a_gateway_forwards(local, header):
    assert local.get("/v1/checks", headers={header: "for=203.0.113.7"}).status_code == 403


@pytest.mark.parametrize("address", ["127.0.0.1", "::1", "::ffff:127.0.0.1", ""])
def test_without_tokens_the_own_machine(local, address):
    assert local.get("/readyz", **from_elsewhere(address)).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "site.example",
        "site.example:8077",
        "127.0.0.1.site.example",
        "localhost.site.example",
        "10.0.0.5:8077",
    ],
)
def test_without_tokens_no_name_that_only_resolves_here(local, host):
    # A browser that was given 127.0.0.1 for the name of a site asks with that name.
    response = local.get("/v1/parts", headers={"Host": host})
    assert (response.status_code, response.get_json()["code"]) == (403, "local-only")
    assert host not in response.text


@pytest.mark.parametrize("host", ["localhost", "localhost:8077", "127.0.0.1:8077", "[::1]:8077"])
def test_without_tokens_a_name_of_the_own_machine(local, host):
    assert local.get("/readyz", headers={"Host": host}).status_code == 200


def test_without_tokens_a_call_of_http_1_0_may_name_none(local):
    assert local.get("/readyz", headers={"Host": ""}, environ_overrides={"HTTP_HOST": ""}).status_code == 403
    with local.application.test_request_context("/readyz") as context:
        environ = {name: value for name, value in context.request.environ.items() if name != "HTTP_HOST"} | {
            "REMOTE_ADDR": "127.0.0.1"
        }
    statuses = []
    list(local.application.wsgi_app(environ, lambda status, headers: statuses.append(status)))
    assert statuses == ["200 OK"]


def test_with_tokens_any_name(guarded):
    assert guarded.get("/readyz", headers=bearer(READS) | {"Host": "shop.example"}).status_code == 200


def test_a_socket_file_has_no_name(local):
    assert local.get("/readyz", headers={"Host": "shop.example"}, **from_elsewhere("")).status_code == 200


def test_anonymous_only_by_name():
    client = app_with(HOST="0.0.0.0", ALLOW_ANONYMOUS="1").test_client()
    assert client.get("/v1/checks", **from_elsewhere("203.0.113.7")).status_code == 200


# ---------------------------------------------------------------- headers

PREFLIGHT = {
    "Access-Control-Request-Method": "POST",
    "Access-Control-Request-Headers": "authorization, content-type",
}


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", "/v1/checks"),
        ("POST", "/v1/evaluations"),
        ("GET", "/v1/none"),
        ("GET", "/healthz"),
        ("OPTIONS", "/v1/evaluations"),
        ("GET", "/metrics"),
    ],
)
def test_every_answer_is_guarded_against_browsers(local, method, path):
    headers = local.open(path, method=method).headers
    # OWASP REST Security Cheat Sheet, "Security headers".
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
    assert not [name for name, _ in headers if name.startswith("Access-Control")]


def test_what_is_asked_about_a_customer_is_not_kept(local):
    assert local.post("/v1/evaluations", json={"build": {}}).headers["Cache-Control"] == "no-store"
    assert local.get("/v1/checks").headers["Cache-Control"] == "no-cache"
    assert local.get("/v1/none").headers["Cache-Control"] == "no-store"


def test_no_origin_is_let_in_unless_configured(local):
    response = local.options("/v1/evaluations", headers=PREFLIGHT | {"Origin": "https://counter.example"})
    assert not [name for name, _ in response.headers if name.startswith("Access-Control")]


def test_the_configured_origin_may_ask_with_a_token(guarded):
    # The Fetch standard, "CORS protocol": a preflight carries no credentials.
    response = guarded.options("/v1/evaluations", headers=PREFLIGHT | {"Origin": "https://counter.example"})
    assert response.status_code == 200
    assert response.headers["Access-Control-Allow-Origin"] == "https://counter.example"
    assert "POST" in response.headers["Access-Control-Allow-Methods"]
    assert {"authorization", "content-type"} <= {
        word.strip().lower() for word in response.headers["Access-Control-Allow-Headers"].split(",")
    }
    response = guarded.post(
        "/v1/evaluations", json={"build": {}}, headers=bearer(BOTH) | {"Origin": "https://counter.example"}
    )
    assert (
        response.headers["Access-Control-Allow-Origin"] == "https://counter.example"
        and "Origin" in response.headers["Vary"]
    )
    assert "Access-Control-Allow-Credentials" not in response.headers


@pytest.mark.parametrize(
    "origin", ["https://other.example", "https://counter.example.evil", "http://counter.example", "null", ""]
)
def test_no_other_origin(guarded, origin):
    response = guarded.options("/v1/evaluations", headers=PREFLIGHT | {"Origin": origin})
    assert "Access-Control-Allow-Origin" not in response.headers
