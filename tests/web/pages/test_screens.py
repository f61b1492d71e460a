"""Every screen as text: the API's own numbers, a client's words as text, and what a foreman adds."""

import gzip
import html
import re
import shutil
import time
from statistics import median
from urllib.parse import parse_qs, urlsplit

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.web.pages.address import build_of, code_of
from service.web.pages.build import flat, for_request
from service.web.pages.fields import USUAL
from service.web.pages.render import FOLDER
from tests.support.expected import app_with
from tests.support.places import RULES
from tests.support.rules import real_rulebook
from tests.support.words import banned

FROM_A_PAGE = {"Sec-Fetch-Site": "same-origin"}
EIGHT = {
    "usage": "street",
    "engine.cylinders": 8,
    "engine.displacement": "5.0 L",
    "induction.kind": "screw",
    "induction.boost": "9 psi",
    "fuel.grade": "93 AKI",
    "fuel_system.injector_flow": "42 lb/h",
    "target.power": "430 whp",
}
SCREENS = (
    "/",
    "/answer",
    "/needs",
    "/power",
    "/parts",
    "/compare",
    "/dyno",
    "/sheet",
    "/rules",
    "/rules/knock-margin",
    "/docs",
    "/sign-in",
)
# Of a page with all it loads, without /docs.
HEAVIEST = 120_000
HOSTILE = "\"'><script>alert(1)</script><img src=x onerror=alert(1)>{{ 7777*7 }}"


@pytest.fixture(scope="module")
def client(app):
    return app.test_client()


@pytest.fixture(scope="module")
def read(client):
    """A page as text."""

    def get(path, build=EIGHT, status=200, **words):
        query = {"units": "us", "b": code_of(build), **words}
        response = client.get(path, query_string=query)
        assert response.status_code == status, response.text
        return response.text

    return get


@pytest.fixture(scope="module")
def kit(example):
    return flat(real_rulebook(), example("kit")["request"]["build"])


def texts(answer):
    """Every text of an answer that stands for a number."""
    if isinstance(answer, dict):
        for key, value in answer.items():
            if key == "text" and isinstance(value, str):
                yield value
            else:
                yield from texts(value)
    elif isinstance(answer, list):
        for entry in answer:
            yield from texts(entry)


def post(client, path, build, **words):
    response = client.post(path, json={"build": build, "units": "us"} | words)
    assert response.status_code == 200, response.text
    return response.get_json()


@pytest.mark.parametrize("path", SCREENS)
def test_every_screen_opens_with_a_build_and_without(read, client, path):
    assert "<h1" in read(path)
    bare = client.get(path)
    assert bare.status_code == 200 and bare.mimetype == "text/html"


def test_without_a_redline_the_curves_ask_for_one(client, read):
    page = read("/power")
    assert "What&#39;s the redline?" in page and 'name="engine.redline"' in page
    data = {"units": "us", "b": code_of(EIGHT), "engine.redline": "6500 rpm", "then": "/power"}
    location = client.post("/", data=data, headers=FROM_A_PAGE).headers["Location"]
    assert location.startswith("/power?") and "<svg" in client.get(location).text


def test_a_form_leads_to_no_other_site(client):
    data = {"units": "us", "usage": "street", "then": "//elsewhere.example"}
    assert client.post("/", data=data, headers=FROM_A_PAGE).headers["Location"].startswith("/answer?")


@pytest.mark.parametrize("path", ["/", "/answer", "/needs", "/power", "/parts", "/sheet", "/rules"])
def test_no_page_is_heavy(client, kit, path):
    build = code_of(kit)
    page = client.get(path, query_string={"units": "us", "b": build}).text
    loaded = [
        client.get(html.unescape(address)).data
        for address in re.findall(r'(?:href|src)="(/static/[^"]+)"', page)
    ]
    assert len(loaded) >= 2
    assert len(page.encode()) + sum(map(len, loaded)) < HEAVIEST
    # On its way it is a fraction of that.
    packed = client.get(path, query_string={"units": "us", "b": build}, headers={"Accept-Encoding": "gzip"})
    assert packed.headers["Content-Encoding"] == "gzip" and gzip.decompress(packed.data).decode() == page


def test_the_answer_has_the_numbers_of_the_api(client, read, example, kit):
    page = html.unescape(read("/answer", kit))
    include = ["ranges", "questions", "remedies"]
    answer = post(
        client, "/v1/evaluations", example("kit")["request"]["build"], detail="full", include=include
    )
    assert answer["headline"] in page and answer["plan"]["text"] in page
    for entry in answer["checks"]:
        assert entry["explanation"] in page
    for entry in answer["figures"]:
        assert f"<b>{entry['text']}</b></td><td>{entry.get('range', {}).get('text', '')}<" in page
    for entry in answer["assumptions"]:
        assert f"<b>{entry['text']}</b>" in page
    for entry in answer["checks"]:
        if entry["verdict"] != "pass":
            assert f"{entry['limit']['text']}</text>" in page and f"{entry['value']['text']}</text>" in page
            assert all(f"<b>{step['text']}</b>" in page for step in entry["working"])
            assert all(caution in page for caution in entry["cautions"])
    for question in answer["questions"][:3]:
        assert question["ask"] in page and question["why"] in page
    assert answer["evaluation"][7:19] in page


def test_the_other_screens_have_the_numbers_of_the_api(client, read, example, kit):
    build = example("kit")["request"]["build"]
    page = html.unescape(read("/needs", kit))
    for entry in post(client, "/v1/requirements", build)["requirements"]:
        assert entry["text"] in page and all(part["text"] in page for part in entry.get("parts", ()))
    curves = post(client, "/v1/speed-curves", build)
    page = html.unescape(read("/power", kit))
    assert curves["headline"] in page and all(text in page for text in texts(curves["assumptions"]))
    selected = post(client, "/v1/selections", build, slots=["gearbox"])
    page = html.unescape(read("/parts", kit, slot="gearbox"))
    assert selected["headline"] in page and all(text in page for text in texts(selected["slots"]))
    check = post(client, "/v1/evaluations", build, checks=["knock-margin"], detail="full")["checks"][0]
    page = html.unescape(read("/working", kit, check="knock-margin"))
    assert all(step["with_numbers"] in page and step["label"] in page for step in check["working"])


def test_two_builds(client, read):
    more = EIGHT | {"induction.boost": "14 psi"}
    page = html.unescape(read("/compare", c=code_of(more)))
    builds = [{"build": EIGHT}, {"build": more}]
    answer = client.post("/v1/build-comparisons", json={"builds": builds, "units": "us"}).get_json()
    assert answer["headline"] in page
    for figure in answer["figures"]:
        assert all(f"<td>{value['text']}</td>" in page for value in figure["values"])


@pytest.mark.parametrize("kind", ["build", "start", "result"])
def test_the_sheets_have_what_is_on_paper(client, read, example, kit, kind):
    build = kit | {"engine.head_stud_torque": "90 lb-ft"}
    page = html.unescape(read("/sheet", build, kind=kind, pulls="402 whp\n405 whp"))
    answer = client.post(
        "/v1/evaluations",
        json={"build": for_request(build), "units": "us", "detail": "full", "moment": "order"},
    ).get_json()
    assert (
        answer["headline"] in page and answer["evaluation"] in page and answer["rulebook"]["digest"] in page
    )
    assert "430 hp" in page and "Customer" in page
    if kind == "result":
        pulls = {"build": for_request(build), "units": "us", "pulls": ["402 whp", "405 whp"]}
        result = client.post("/v1/calibrations", json=pulls).get_json()
        assert result["headline"] in page and all(text in page for text in texts(result["found"]))
        return
    for moment in ("start", "dyno"):
        watched = client.post(
            "/v1/evaluations", json={"build": for_request(build), "units": "us", "moment": moment}
        )
        for entry in watched.get_json()["watch"]:
            assert entry["signal"] in page and entry["stop_at"] in page
    assert "90 lb-ft" in page
    if kind == "build":
        assert "at most 110 %" in page
        assert all(
            caution in page
            for entry in answer["checks"]
            if entry["verdict"] != "pass"
            for caution in entry["cautions"]
        )


def test_the_units_decide_the_paper(read):
    assert "letter.css" in read("/sheet") and "a4.css" in read("/sheet", units="metric")


def test_a_form_goes_into_the_address(client, read):
    typed = {path: str(value) for path, value in EIGHT.items()} | {"units": "us", "engine.bore": ""}
    response = client.post("/", data=typed, headers=FROM_A_PAGE)
    assert response.status_code == 303 and response.headers["Location"].startswith("/answer?units=us&b=")
    assert client.get(response.headers["Location"]).text == read("/answer")


def test_an_answer_to_a_question_joins_the_build(client):
    data = {"units": "us", "b": code_of(EIGHT), "engine.compression_ratio": "9.5", "fuel.grade": ""}
    location = client.post("/", data=data, headers=FROM_A_PAGE).headers["Location"]
    expected = {path: value for path, value in EIGHT.items() if path != "fuel.grade"}
    assert location.endswith(code_of(expected | {"engine.compression_ratio": "9.5"}))


def note_of(page, field):
    return re.search(rf'id="f-{field}-note"><strong>(.*?)</strong>', page, re.DOTALL)[1]


def test_a_fault_stands_beside_its_field_in_the_words_of_the_api(client, read):
    build = EIGHT | {"engine.displacement": "5 parsecs", "fuel.grade": "premium", "engine.cylinders": "v8"}
    page = html.unescape(read("/answer", build, status=422))
    faults = client.post("/v1/evaluations", json={"build": build, "units": "us"}).get_json()["errors"]
    assert len(faults) == 3
    for fault in faults:
        field = fault["pointer"].removeprefix("/build/").replace("/", "-")
        note = note_of(page, field)
        assert note.strip().startswith(fault["detail"])
        # Of a choice the words are in its list.
        assert (f"Expected: {fault['expected']}." in note) == (field != "fuel-grade")
    links = re.findall(r'<a href="([^"]*)">(9\d [AR][KO][IN])</a>', note_of(page, "fuel-grade"))
    assert [text for _, text in links] == ["91 AKI", "93 AKI", "95 RON", "98 RON"]
    assert "premium_93_aki" in build_of(parse_qs(urlsplit(links[1][0]).query)["b"][0]).values()
    assert "3 fields need a fix" in page and 'value="5 parsecs"' in page


def test_a_name_that_the_rulebook_lacks_is_told(read):
    assert "/build/engine/nonsense" in read("/answer", {"engine.nonsense": "1"}, status=422)
    assert "cut short or mistyped" in read("/answer", status=422, b="AAAA")


def test_hostile_text_in_every_field_stays_text(client):
    """Typed into every field at once and into each screen, and shown as it was written."""
    paths = list(real_rulebook().inputs)
    for start in range(0, len(paths), 20):
        build = dict.fromkeys(paths[start : start + 20], HOSTILE)
        for path in ("/", "/answer"):
            page = client.get(path, query_string={"b": code_of(build), "units": "us"}).text
            assert "<script>alert" not in page and "<img" not in page and "54439" not in page
            if path == "/":
                assert page.count("&lt;script&gt;alert(1)&lt;/script&gt;") >= len(build)


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("/working", {"check": HOSTILE}),
        ("/parts", {"slot": HOSTILE, "budget": HOSTILE, "objective": HOSTILE}),
        ("/sheet", {"kind": HOSTILE}),
        ("/sheet", {"kind": "result", "pulls": HOSTILE}),
        ("/sign-in", {"next": HOSTILE}),
        ("/answer", {"units": HOSTILE}),
        ("/compare", {"c": HOSTILE}),
    ],
)
def test_hostile_words_of_an_address_stay_text(client, path, words):
    response = client.get(path, query_string={"b": code_of(EIGHT)} | words)
    assert response.status_code in (200, 404, 422)
    assert "<script>alert" not in response.text and "<img" not in response.text


@pytest.mark.parametrize("field", ["pulls_a", "pulls_b", "pulls", "claimed", "quantity"])
def test_hostile_pulls_stay_text(client, field):
    data = {"pulls_a": "401 whp\n402 whp", "pulls_b": "403 whp\n405 whp", "b": code_of(EIGHT), field: HOSTILE}
    response = client.post("/dyno", data=data, headers=FROM_A_PAGE)
    assert response.status_code in (200, 422) and "Pulls with A" in response.text
    assert "<script>alert" not in response.text and "<img" not in response.text


def test_the_usual_fields_are_fields():
    assert set(USUAL) <= set(real_rulebook().inputs) and len(USUAL) == 8


def test_a_foremans_input_and_check_appear_by_themselves(tmp_path):
    rules = tmp_path / "rules"
    shutil.copytree(RULES, rules)
    with (rules / "inputs.yaml").open("a") as inputs:
        inputs.write(
            "\nengine.house_oil_age:\n  kind: number\n  dimension: ratio\n  possible: [0, 100]\n"
            "  label: House oil age\n  ask: How old is the house oil?\n"
        )
    text = (rules / "checks" / "tyre-speed.yaml").read_text()
    title = re.search(r"^title: (.*)$", text, re.MULTILINE)[1]
    (rules / "checks" / "house-tyre-speed.yaml").write_text(text.replace(title, "House tyre rule", 1))
    client = app_with(RULES=str(rules)).test_client()
    form = client.get("/").text
    assert "House oil age" in form and 'name="engine.house_oil_age"' in form
    assert "House tyre rule" in client.get("/rules").text
    assert "As expected" in client.get("/rules/house-tyre-speed").text
    build = {
        "engine.redline": "6500 rpm",
        "driveline.top_gear_ratio": 0.68,
        "driveline.final_drive_ratio": 3.55,
        "driveline.tyre_radius": "0.33 m",
        "driveline.tyre_speed_rating": "200 km/h",
    }
    assert "House tyre rule" in client.get("/answer", query_string={"b": code_of(build)}).text


def test_every_example_of_every_rule_is_as_expected(client):
    for check in real_rulebook().checks:
        page = client.get(f"/rules/{check}").text
        assert "As expected" in page and "Not as expected" not in page, check


@pytest.mark.parametrize("path", ["/rules/none", "/working", f"/working?check={HOSTILE}"])
def test_rules_that_are_none(client, path):
    response = client.get(path)
    assert (response.status_code, response.mimetype) == (404, "text/html")


JUNK = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-9, 9)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=9),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=9), inner, max_size=3),
    max_leaves=6,
)
NAMES = ["parts", "parts.kit", "engine", "usage", "fuel.grade", "engine.bore", "target.power"]
CURVES = ["fuel_system.pump_curve", "induction.compressor_map"]


@given(
    build=st.dictionaries(st.sampled_from(NAMES + CURVES) | st.text(max_size=9), JUNK, max_size=5),
    path=st.sampled_from(["/", "/answer", "/needs", "/power", "/parts", "/compare", "/dyno", "/sheet"]),
)
def test_whatever_an_address_holds_is_answered_or_refused(client, build, path):
    """Somebody may put anything into an address; it is a page all the same."""
    response = client.get(path, query_string={"b": code_of(build), "c": code_of(build)})
    assert (response.status_code in (200, 422)) and response.mimetype == "text/html", build


@pytest.mark.slow
def test_the_answer_page_takes_no_more_than_three_calls(client, example, kit):
    """To the first byte: the page is sent whole, so that is when it is made."""
    build = {"build": example("kit")["request"]["build"], "units": "us", "detail": "full"}
    body = build | {"include": ["ranges", "questions", "remedies"]}

    def seconds(ask):
        times = []
        for _ in range(9):
            start = time.perf_counter()
            assert ask().status_code == 200
            times.append(time.perf_counter() - start)
        return median(times)

    call = seconds(lambda: client.post("/v1/evaluations", json=body))
    page = seconds(lambda: client.get("/answer", query_string={"units": "us", "b": code_of(kit)}))
    assert page < 3 * call


def test_without_a_catalog_the_parts_page_says_so():
    page = app_with().test_client().get("/parts", query_string={"b": code_of(EIGHT)}).text
    assert "No catalog is loaded" in page


def test_a_page_that_judged_is_in_the_log_under_the_number_on_the_sheet():
    lines = []
    client = app_with(lines.append).test_client()
    sheet = client.get("/sheet", query_string={"b": code_of(EIGHT)}).text
    client.get("/rules")
    (line,) = lines
    assert line["operation"] == "pages.show_sheet" and line["evaluation"] in sheet
    assert "42 lb/h" not in str(line)
    # With LOG_SPECS a line holds what was asked, as for a POST.
    app_with(lines.append, LOG_SPECS="1").test_client().get("/answer", query_string={"b": code_of(EIGHT)})
    assert lines[1]["request"]["build"]["fuel_system.injector_flow"] == "42 lb/h"


@pytest.mark.parametrize(
    ("languages", "units"),
    [
        ("en-US,en;q=0.9", "us"),
        ("en-GB", "metric"),
        ("de,en-US;q=0.5", "metric"),
        ("", "metric"),
        ("x;;", "metric"),
    ],
)
def test_without_a_word_the_readers_language_decides_the_units(client, languages, units):
    page = client.get("/", headers={"Accept-Language": languages}).text
    assert f'<option value="{units}" selected>' in page


def test_templates_say_no_word_that_nobody_says():
    """By the list that holds the rules to it; what is between tags is read."""
    for path in sorted(FOLDER.glob("*.html")):
        text = re.sub(r"{[{%#].*?[%#}]}|<[^>]*>", " ", path.read_text(), flags=re.DOTALL)
        assert banned(html.unescape(text)) == [], path.name
