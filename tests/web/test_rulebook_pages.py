"""GET: the rulebook as a client may read it, cached by its digest."""

import pytest

PAGES = {
    "/v1/checks": "checks",
    "/v1/inputs": "inputs",
    "/v1/quantities": "quantities",
    "/v1/functions": "functions",
    "/v1/fuels": "fuels",
    "/v1/sources": "sources",
}


@pytest.mark.parametrize(
    "path", [*PAGES, "/openapi.json", "/v1/checks/injector-duty", "/v1/functions/standard_pressure"]
)
def test_cached_by_the_digest(client, path):
    response = client.get(path)
    digest = client.get("/readyz").get_json()["rulebook"]["digest"]
    assert response.status_code == 200 and response.mimetype == "application/json"
    assert response.headers["ETag"] == f'"{digest}"' and response.headers["Cache-Control"] == "no-cache"
    again = client.get(path, headers={"If-None-Match": f'"{digest}"'})
    assert (again.status_code, again.data) == (304, b"")
    assert again.headers["ETag"] == f'"{digest}"'
    other = client.get(path, headers={"If-None-Match": '"sha256:0"'})
    assert (other.status_code, other.data) == (200, response.data)


@pytest.mark.parametrize(("path", "what"), PAGES.items())
def test_a_list_is_an_object_that_holds_it(client, path, what):
    reply = client.get(path).get_json()
    assert list(reply) == [what] and reply[what]


@pytest.mark.parametrize("path", [*PAGES, "/openapi.json", "/healthz", "/readyz"])
def test_head_is_get_without_the_body(client, path):
    head, get = client.head(path), client.get(path)
    assert (head.status_code, head.data) == (200, b"")
    assert head.headers["Content-Length"] == str(len(get.data)) and head.mimetype == get.mimetype


def test_every_check_has_a_page(client):
    for one in client.get("/v1/checks").get_json()["checks"]:
        page = client.get(f"/v1/checks/{one['check']}").get_json()
        assert page["title"] == one["title"]
        for bounds in page["limits"].values():
            assert all(
                bound["side"] in ("above", "below", "when") and bound["source"]["citation"]
                for bound in bounds
            )


def test_a_check_shows_its_limits_by_usage(client):
    warn = client.get("/v1/checks/injector-duty").get_json()["limits"]["warn"]
    rows = {row["when"]["usage"]: row["limit"] for row in warn[0]["rows"]}
    assert rows["street"] == "85 %" and rows["marine"] == "80 %" and "unknown" in rows


def test_every_function_has_a_page(client):
    for one in client.get("/v1/functions").get_json()["functions"]:
        page = client.get(f"/v1/functions/{one['function']}").get_json()
        assert page["page"] and page["arguments"]


def test_every_input_says_what_it_takes(client):
    for one in client.get("/v1/inputs").get_json()["inputs"]:
        assert one["label"] and one["ask"].endswith("?"), one
        if one["kind"] == "choice":
            assert one["choices"]
        if one["kind"] == "number":
            assert one["dimensions"]


def test_every_source_cited_by_a_quantity_is_listed(client):
    listed = {(one["kind"], one["citation"]) for one in client.get("/v1/sources").get_json()["sources"]}
    for quantity in client.get("/v1/quantities").get_json()["quantities"]:
        for route in quantity["routes"]:
            assert (route["source"]["kind"], route["source"]["citation"]) in listed


def test_an_empty_cell_of_the_fuel_table_is_left_out(client):
    fuels = {one["grade"]: one for one in client.get("/v1/fuels").get_json()["fuels"]}
    assert "unknown" not in fuels
    assert "density" not in fuels["lpg"] and fuels["premium_95_ron"]["density"]["unit"] == "kg/L"


@pytest.mark.parametrize("path", ["/healthz", "/readyz"])
def test_health(client, path):
    response = client.get(path)
    assert response.status_code == 200 and response.get_json()["status"] in ("ok", "ready")
