"""The corpus tests/cases/ugly_bodies.yaml against every POST endpoint: never a 500, a problem with its code,
and nobody's text repeated in prose.
"""

import gzip
import json

import pytest
import yaml

from service.web.api.body import MAX_BATCH, MAX_BODY
from tests.support.places import ROOT

pytestmark = pytest.mark.slow

CASES = yaml.load(
    (ROOT / "tests" / "cases" / "ugly_bodies.yaml").read_text(encoding="utf-8"),
    yaml.BaseLoader,
)
SENTINEL = "zebrafish"
WEATHER = {"air_pressure": "990 hPa", "air_temperature": "25 degC", "humidity": "40 %"}
HOLE = "a number stands here"
BUILD = {"engine": {"compression_ratio": HOLE, "redline": "6500 rpm"}}
# A small request of each endpoint, refused or taken by what stands in its hole.
REQUESTS = {
    "evaluations": {"build": BUILD},
    "evaluation-batches": {"builds": [BUILD, {}]},
    "sweeps": {"build": {"usage": "street"}, "columns": {"engine.compression_ratio": [HOLE]}},
    "selections": {"build": BUILD, "slots": ["injectors"]},
    "limits": {"build": BUILD},
    "speed-curves": {"build": BUILD},
    "requirements": {"build": BUILD},
    "solutions": {
        "build": BUILD,
        "find": "engine.stroke",
        "reach": {"quantity": "mean_piston_speed", "value": "20 m/s"},
    },
    "build-comparisons": {"builds": [{"build": BUILD}, {"change": {"usage": "street"}}]},
    "dyno-corrections": {"pulls": [{"power": HOLE}], "weather": WEATHER},
    "dyno-comparisons": {"quantity": "power", "a": [HOLE, "201 hp"], "b": ["210 hp", "211 hp"]},
    "calibrations": {"build": BUILD, "pulls": ["430 whp"]},
}
LIMITS = {"evaluation-batches": MAX_BATCH, "sweeps": MAX_BATCH, "dyno-comparisons": MAX_BATCH}


def made(before, piece, times, after, limit, middle="", last=""):
    """A body grown from a piece: so many times, up to the limit, or one byte over it."""
    if times == "over":
        return piece * (limit + 1)
    if "{number}" in piece:
        count = (
            int(times)
            if times != "fill"
            else (limit - len(before) - len(last)) // (len(piece) - len("{number}") + len(str(limit)))
        )
        return before + "".join(piece.replace("{number}", str(number)) for number in range(count)) + last
    count = int(times) if times != "fill" else (limit - len(before) - len(last) - len(after)) // len(piece)
    return before + piece * count + middle + after * (1 if times == "fill" else count) + last


def body_of(case, endpoint):
    request = json.dumps(REQUESTS[endpoint])
    if "hex" in case:
        return bytes.fromhex(case["hex"])
    if "value" in case:
        text = request.replace(json.dumps(HOLE), case["value"])
    elif "key" in case:
        text = (
            request.replace(json.dumps(HOLE), '"8.5"')
            .replace("{", f"{{{case['key']}: 1, ", 1)
            .replace('"build": {', f'"build": {{{case["key"]}: 1, ')
        )
    elif "made" in case:
        text = made(**case["made"], limit=LIMITS.get(endpoint, MAX_BODY))
    else:
        text = case["body"]
    return gzip.compress(text.encode(), mtime=0) if case.get("pack") == "gzip" else text.encode()


def prose(node):
    """All texts of an answer but its pointers."""
    for key, value in node.items() if isinstance(node, dict) else enumerate(node):
        if isinstance(value, (dict, list)):
            yield from prose(value)
        elif isinstance(value, str) and key != "pointer":
            yield value


@pytest.fixture(scope="module")
def post(catalog_client):
    def send(case, endpoint):
        headers = {"Content-Encoding": case["encoding"]} if "encoding" in case else {}
        return catalog_client.post(
            f"/v1/{endpoint}",
            data=body_of(case, endpoint),
            content_type=case.get("type", "application/json"),
            headers=headers,
        )

    return send


@pytest.mark.parametrize("endpoint", REQUESTS)
@pytest.mark.parametrize("name", CASES)
def test_an_ugly_body_is_refused_in_our_own_words(post, name, endpoint):
    case = CASES[name]
    response = post(case, endpoint)
    reply = response.get_json()
    assert response.status_code == int(case.get("but", {}).get(endpoint, case["status"])), response.text[:500]
    if response.status_code != 200:
        assert response.mimetype == "application/problem+json"
        assert (reply["status"], reply["code"]) == (response.status_code, case["code"])
        assert len(response.data) < 40_000
    assert not [text for text in prose(reply) if SENTINEL in text.casefold()]


def test_every_post_endpoint_is_asked(catalog_client):
    posted = {
        rule.rule.removeprefix("/v1/")
        for rule in catalog_client.application.url_map.iter_rules()
        if "POST" in rule.methods and rule.endpoint.startswith("v1.")
    }
    assert posted == set(REQUESTS)


@pytest.mark.parametrize("endpoint", REQUESTS)
def test_the_small_requests_are_good(post, endpoint):
    """What is refused above is refused for its ugliness."""
    good = '"200 hp"' if endpoint.startswith("dyno") else '"8.5"'
    assert post({"value": good}, endpoint).status_code == 200


def test_bodies_that_fill_up_to_the_limit_do(post):
    for name, case in CASES.items():
        if case.get("made", {}).get("times") == "fill":
            for endpoint in REQUESTS:
                limit = LIMITS.get(endpoint, MAX_BODY)
                assert 0.7 * limit < len(body_of(case, endpoint)) <= limit, (name, endpoint)
