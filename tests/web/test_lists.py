"""Lists take filters and come in pages; a query word that is none is refused with the nearest right one."""

import pytest

LISTS = ["checks", "inputs", "quantities", "functions", "fuels", "sources"]


def fault(response):
    assert response.status_code == 422 and response.get_json()["code"] == "spec-faults", response.text
    (one,) = response.get_json()["errors"]
    return one["pointer"], one["code"], one.get("suggestion")


def all_pages(client, path, size, what):
    """Every page of a list, one token leading to the next."""
    pages, token = [], ""
    while token is not None:
        reply = client.get(f"{path}{'&' if '?' in path else '?'}page_size={size}{token}").get_json()
        pages.append(reply[what])
        token = f"&page_token={reply['next_page_token']}" if "next_page_token" in reply else None
    return pages


@pytest.mark.parametrize("what", LISTS)
def test_pages_make_the_whole(client, what):
    whole = client.get(f"/v1/{what}").get_json()[what]
    pages = all_pages(client, f"/v1/{what}", 7, what)
    assert [entry for page in pages for entry in page] == whole
    assert {len(page) for page in pages[:-1]} <= {7} and 1 <= len(pages[-1]) <= 7


def test_pages_of_parts_make_the_whole(catalog_client):
    def numbers(slots):
        return [(slot["slot"], part["number"]) for slot in slots for part in slot["parts"]]

    whole = catalog_client.get("/v1/parts").get_json()
    pages = all_pages(catalog_client, "/v1/parts", 25, "slots")
    assert [name for page in pages for name in numbers(page)] == numbers(whole["slots"])
    assert len(numbers(whole["slots"])) > 100 and "next_page_token" not in whole


def test_parts_of_one_slot(catalog_client):
    whole = {slot["slot"]: slot for slot in catalog_client.get("/v1/parts").get_json()["slots"]}
    assert catalog_client.get("/v1/parts?slot=injectors").get_json()["slots"] == [whole["injectors"]]
    assert catalog_client.get("/v1/parts?slot=radiator").get_json()["slots"] == []


def test_parts_by_words(catalog_client):
    (slot,) = catalog_client.get("/v1/parts?q=eight+INJECTORS+60+lb/h").get_json()["slots"]
    assert "IN-060-F09" in {part["number"] for part in slot["parts"]}
    assert all("60 lb/h" in part["title"] for part in slot["parts"])


def test_inputs_of_one_group(client):
    listed = client.get("/v1/inputs").get_json()["inputs"]
    of_group = client.get("/v1/inputs?group=clutch").get_json()["inputs"]
    assert of_group == [one for one in listed if one["input"].startswith("clutch.")] != []


def test_inputs_by_words(client):
    names = [one["input"] for one in client.get("/v1/inputs?q=injector+flow").get_json()["inputs"]]
    assert "fuel_system.injector_flow" in names and "induction.boost" not in names


def test_words_that_nothing_has(client):
    assert client.get("/v1/checks?q=no+such+thing").get_json() == {"checks": []}


def test_one_input(client):
    listed = {one["input"]: one for one in client.get("/v1/inputs").get_json()["inputs"]}
    assert client.get("/v1/inputs/induction.boost").get_json() == listed["induction.boost"]
    assert client.get("/v1/inputs/usage").get_json() == listed["usage"]
    missing = client.get("/v1/inputs/induction.bost")
    assert missing.status_code == 404 and missing.get_json()["suggestion"] == "induction.boost"


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ("/v1/parts?slto=injectors", ("?slto", "unknown-key", "slot")),
        ("/v1/parts?limit=2", ("?limit", "unknown-key", None)),
        ("/v1/parts?slot=injector", ("?slot", "unknown-word", "injectors")),
        ("/v1/parts?group=clutch", ("?group", "unknown-key", None)),
        ("/v1/inputs?group=cluch", ("?group", "unknown-word", "clutch")),
        ("/v1/inputs?page_siz=5", ("?page_siz", "unknown-key", "page_size")),
        ("/v1/inputs?page_size=0", ("?page_size", "out-of-range", None)),
        ("/v1/inputs?page_size=1001", ("?page_size", "out-of-range", None)),
        ("/v1/inputs?page_size=-5", ("?page_size", "wrong-type", None)),
        ("/v1/inputs?page_size=٥", ("?page_size", "wrong-type", None)),
        ("/v1/inputs?page_size=ten", ("?page_size", "wrong-type", None)),
        ("/v1/inputs?page_size=", ("?page_size", "wrong-type", None)),
        ("/v1/inputs?q=a&q=b", ("?q", "repeated", None)),
        (f"/v1/inputs?q={'a' * 400}", ("?q", "too-long", None)),
        ("/v1/inputs?page_token=7", ("?page_token", "stale-page", None)),
        ("/v1/inputs?page_token=-1-0", ("?page_token", "stale-page", None)),
        ("/v1/checks/injector-duty?detail=full", ("?detail", "unknown-key", None)),
        ("/openapi.json?v=2", ("?v", "unknown-key", None)),
        ("/healthz?x", ("?x", "unknown-key", None)),
    ],
)
def test_a_query_that_is_none(client, query, expected):
    assert fault(client.get(query)) == expected


def test_every_fault_of_a_query_is_told(client):
    errors = client.get("/v1/parts?slto=a&page_size=0&q=a&q=b").get_json()["errors"]
    assert [one["pointer"] for one in errors] == ["?slto", "?page_size", "?q"]


def test_a_post_takes_no_query(client):
    response = client.post("/v1/evaluations?detail=verdict", json={"build": {}})
    assert fault(response) == ("?detail", "unknown-key", None)


def test_a_token_is_of_one_list_with_one_filter(client):
    token = client.get("/v1/inputs?page_size=5").get_json()["next_page_token"]
    for other in ("/v1/inputs?q=engine&", "/v1/inputs?group=clutch&"):
        assert fault(client.get(f"{other}page_token={token}"))[1] == "stale-page"
    # The size may change from page to page.
    assert client.get(f"/v1/inputs?page_size=3&page_token={token}").status_code == 200


def test_a_token_of_another_catalog_is_refused(catalog_client):
    token = catalog_client.get("/v1/parts?page_size=5").get_json()["next_page_token"]
    before, _, fingerprint = token.partition("-")
    assert fault(catalog_client.get(f"/v1/parts?page_token={before}-{fingerprint[::-1]}"))[1] == "stale-page"


def test_a_page_beyond_the_end_is_empty(client):
    token = client.get("/v1/inputs?page_size=5").get_json()["next_page_token"]
    _, _, fingerprint = token.partition("-")
    assert client.get(f"/v1/inputs?page_token=99999-{fingerprint}").get_json() == {"inputs": []}
