"""What README.md and docker/README.md show is answered; commands, settings and limits they name exist."""

import json
import re

import pytest

from service.app import create_app
from tests.support.places import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
OPERATING = (ROOT / "docker" / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def plain(apps):
    """The app as `make serve` starts it."""
    return apps["compiled"].test_client()


def test_the_request_is_answered(plain):
    [body] = re.findall(r"-d '\s*(\{.*?\})'", README, re.DOTALL)
    reply = plain.post("/v1/evaluations", json=json.loads(body))
    assert reply.status_code == 200
    assert "600 hp" in json.dumps(reply.get_json()["understood"])
    assert "injector-duty" in {entry["check"] for entry in reply.get_json()["checks"]}


def test_the_conversation_goes_as_written(plain):
    """Each request is posted, and each line of the answer shown is in the answer; numbers in a range to the
    digits shown.
    """
    steps = re.findall(r"```http\nPOST (\S+)\n(.*?)```(.*?)(?=```http|\n## )", README, re.DOTALL)
    assert [path for path, _, _ in steps] == ["/v1/evaluations", "/v1/requirements", "/v1/limits"]
    shown = 0
    for path, body, rest in steps:
        response = plain.post(path, json=json.loads(body))
        assert response.status_code == 200
        answer = list(_pairs(response.get_json()))
        for line in re.findall(r'^("[a-z_]+": .*)$', rest, re.MULTILINE):
            ((key, value),) = json.loads("{" + line + "}").items()
            assert any(name == key and _like(found, value) for name, found in answer), line
            shown += 1
    assert shown >= 5


def _pairs(node):
    """Every name and value anywhere in an answer."""
    for item in node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ():
        yield item
        yield from _pairs(item[1])


def _like(found, shown):
    if isinstance(shown, dict):
        return (
            isinstance(found, dict)
            and found.keys() == shown.keys()
            and all(_like(found[key], shown[key]) for key in shown)
        )
    return (
        isinstance(found, float) and found == pytest.approx(shown, rel=1e-3)
        if isinstance(shown, float)
        else found == shown
    )


def test_every_make_target_and_command_is_there():
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    targets = set(re.findall(r"(?:^    |`)make (\w+)", README, re.MULTILINE))
    assert targets == {"demo", "test", "quick", "lint", "serve", "pictures"}
    assert all(f"\n{target}:" in makefile for target in targets)
    commands = set(re.findall(r"python -m service (\w+)", README + OPERATING))
    assert commands == {"check", "compare", "catalog", "screen", "token", "roll", "mcp", "sheet"}
    assert all((ROOT / "service" / "commands" / f"{command}.py").is_file() for command in commands)


def test_every_endpoint_of_the_table_is_in_the_contract(plain):
    paths = plain.get("/openapi.json").get_json()["paths"]
    named = set(re.findall(r"`(?:GET |POST )?(/[\w/{}.-]+)`", README)) | set(
        re.findall(r"(/v1/[\w-]+)", README)
    )
    pages = {rule.rule for rule in plain.application.url_map.iter_rules() if "pages." in rule.endpoint}
    assert named and named <= set(paths) | pages


def test_the_log_line_is_one(tmp_path):
    [shown] = [json.loads(line) for line in re.findall(r"^    (\{\"time\".*\})$", OPERATING, re.MULTILINE)]
    lines = []
    client = create_app(lines.append).test_client()
    client.post(
        "/v1/evaluations",
        json={
            "build": {
                "fuel_system": {"injector_count": 8, "injector_flow": "60 lb/h"},
                "target": {"power": "600 rwhp"},
            },
            "checks": ["injector-duty"],
        },
        headers={"traceparent": f"00-{shown['trace_id']}-00f067aa0ba902b7-01"},
    )
    [line] = lines
    assert list(line) == list(shown) and list(line["phases"]) == list(shown["phases"])
    assert all(
        line[key] == shown[key] for key in ("operation", "status", "verdict", "checks", "trace_id", "catalog")
    )


def test_every_metric_is_there(plain):
    page = plain.get("/metrics").text
    families = set(re.findall(r"^# TYPE engine_build_rules_(\w+) ", page, re.MULTILINE))
    named = set(
        re.findall(
            r"^\| `(\w+)`(?: by [\w ,]+)? \|",
            OPERATING[OPERATING.index("## Metrics") : OPERATING.index("## When something")],
            re.MULTILINE,
        )
    )
    assert named == {family for family in families if not family.endswith("_created")}


def test_every_setting_is_read():
    settings = set(
        re.findall(
            r"`([A-Z_]{4,})`", OPERATING[OPERATING.index("| setting |") : OPERATING.index("## Limits")]
        )
    )
    read = (ROOT / "service" / "settings.py").read_text() + (ROOT / "docker" / "gunicorn.conf.py").read_text()
    assert settings == set(re.findall(r"(?:environ\.get\(|environ\[|_switch\()['\"]([A-Z_]+)['\"]", read))


def test_the_counts_are_those_of_the_contract(plain):
    schemas = plain.get("/openapi.json").get_json()["components"]["schemas"]
    table = OPERATING[
        OPERATING.index("| call | body at most |") : OPERATING.index("Beyond them the answer is 413")
    ]
    shown = {int(number.replace(",", "")) for number in re.findall(r"\b(\d[\d,]*)\b(?! KB| MB)", table)}
    sweep, comparison = (
        schemas["SweepRequest"]["properties"]["columns"],
        schemas["ComparisonRequest"]["properties"]["a"]["oneOf"],
    )
    induction, fuel = (
        schemas["Build"]["properties"][group]["properties"] for group in ("induction", "fuel_system")
    )
    wanted = {
        schemas["BatchRequest"]["properties"]["builds"]["maxItems"],
        sweep["maxProperties"],
        comparison[0]["maxItems"],
        comparison[1]["items"]["maxItems"],
        schemas["CalibrationRequest"]["properties"]["pulls"]["maxItems"],
        schemas["LimitsRequest"]["properties"]["inputs"]["maxItems"],
        schemas["SelectionRequest"]["properties"]["slots"]["maxItems"],
        schemas["SpeedCurvesRequest"]["properties"]["speeds"]["properties"]["count"]["maximum"],
        induction["compressor_map"]["properties"]["points"]["maxItems"],
        fuel["pump_curve"]["maxItems"],
    }
    assert wanted <= shown


def test_the_rates_are_those_of_the_gateway():
    gateway = (ROOT / "docker" / "nginx.conf").read_text()
    assert (
        "zone=clients:10m rate=20r/s" in gateway
        and "zone=clients burst=40" in gateway
        and "limit_conn long_calls 4" in gateway
    )
    assert "zone=addresses:10m rate=100r/s" in gateway and "limit_conn connections 32" in gateway
    assert (
        "token make 20 calls a second, 40 more at once, and an address 100 a second, 32 connections and "
        "four long calls side by side" in OPERATING.replace("\n", " ")
    )
