"""A foreman adds a check without touching Python: input, table column, assumption, quantity and check, in
YAML only.
"""

import re
import shutil
from pathlib import Path

import pytest

from service.app import create_app
from tests.support.places import RULES

pytestmark = pytest.mark.slow

INPUT = """
clutch.bedding_distance:
  kind: number
  dimension: distance
  possible: [0 km, 5000 km]
  step: {metric: 50 km, us: 25 mi}
  label: Distance driven to bed the clutch
  ask: How far was the car driven gently on the new clutch?
"""
COLUMN = "  bedding_distance: {dimension: distance, label: Distance this facing takes to bed}\n"
CELL = "bedding_distance: 400 km, "
ASSUMPTION = """
bedding_distance:
  label: Distance an unknown facing takes to bed
  stands_for: clutch.facing
  dimension: distance
  rows:
    - [500 km, 300 km, 800 km, house-choice]
"""
QUANTITY = """
bedding_share:
  label: Bedding done over bedding wanted
  dimension: ratio
  unit: "%"
  routes:
    - clutch.bedding_distance / facings.bedding_distance
    - clutch.bedding_distance / assumed.bedding_distance
  source: definition
"""
CHECK = """
title: Bedding of the clutch
short: clutch bedding by facing
judges: bedding_share
limits:
  warn:
    below: 100 %
    source: house-choice
  fail:
    below: 50 %
    source: house-choice
text:
  pass:
    - "The clutch is bedded: {clutch.bedding_distance} driven."
  warn:
    - "Only {value} of the bedding is done after {clutch.bedding_distance}."
  fail:
    - "The clutch is raw: {clutch.bedding_distance} is {value} of the bedding."
levers:
  clutch.bedding_distance: up
examples:
  # 300 km of 400 km is 75 %.
  - given: {clutch.bedding_distance: 300 km, clutch.facing: organic}
    expect: {bedding_share: 75 %, verdict: warn}
    source: worked-by-hand
  - given: {clutch.bedding_distance: 400 km, clutch.facing: organic}
    expect: {verdict: pass}
    source: worked-by-hand
"""


def add(path: Path, text: str) -> None:
    path.write_text(path.read_text(encoding="utf-8").rstrip("\n") + text, encoding="utf-8")


def insert(path: Path, after: str, text: str) -> None:
    changed, times = re.subn(
        after, lambda found: found[0] + text, path.read_text(encoding="utf-8"), count=1, flags=re.MULTILINE
    )
    assert times == 1, f"{path.name} has no {after}"
    path.write_text(changed, encoding="utf-8")


@pytest.fixture(scope="module")
def rules(tmp_path_factory):
    rules = Path(shutil.copytree(RULES, tmp_path_factory.mktemp("foreman") / "rules"))
    add(rules / "inputs.yaml", INPUT)
    add(rules / "assumptions.yaml", ASSUMPTION)
    insert(rules / "tables" / "facings.yaml", r"^columns:\n", COLUMN)
    insert(rules / "tables" / "facings.yaml", r"^  organic: \{", CELL)
    (rules / "quantities" / "bedding.yaml").write_text(QUANTITY.lstrip(), encoding="utf-8")
    (rules / "checks" / "clutch-fresh-facing.yaml").write_text(CHECK.lstrip(), encoding="utf-8")
    return rules


@pytest.fixture(scope="module", params=["compiled", "reference"])
def client(rules, request):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("RULES", str(rules))
        patch.setenv("EVALUATOR", request.param)
        yield create_app().test_client()


def answer(client, build, **rest):
    reply = client.post(
        "/v1/evaluations", json={"build": build, "checks": ["clutch-fresh-facing"], "detail": "full"} | rest
    )
    assert reply.status_code == 200, reply.text
    return reply.get_json()


def test_the_check_is_listed(client):
    listed = {one["check"]: one for one in client.get("/v1/checks").get_json()["checks"]}
    assert listed["clutch-fresh-facing"] == {
        "check": "clutch-fresh-facing",
        "title": "Bedding of the clutch",
        "judges": "bedding_share",
        "at": [],
    }
    assert {path.stem for path in (RULES / "checks").glob("*.yaml")} == set(listed) - {"clutch-fresh-facing"}


def test_the_check_can_be_read_whole(client):
    one = client.get("/v1/checks/clutch-fresh-facing").get_json()
    assert one["limits"]["fail"][0]["limit"] == "50 %"
    assert len(one["examples"]) == 2


def test_the_input_is_in_the_contract(client):
    schemas = client.get("/openapi.json").get_json()["components"]["schemas"]
    field = schemas["Build"]["properties"]["clutch"]["properties"]["bedding_distance"]
    assert "How far was the car driven gently" in field["description"]
    assert "km" in schemas[field["$ref"].rpartition("/")[2]]["x-units"]


def test_the_check_may_be_asked_for_by_name_in_the_contract(client):
    schemas = client.get("/openapi.json").get_json()["components"]["schemas"]
    assert "clutch-fresh-facing" in schemas["CheckId"]["enum"]


def test_the_quantity_and_the_input_are_listed(client):
    assert any(
        one["quantity"] == "bedding_share" for one in client.get("/v1/quantities").get_json()["quantities"]
    )
    assert any(
        one["input"] == "clutch.bedding_distance" for one in client.get("/v1/inputs").get_json()["inputs"]
    )


@pytest.mark.parametrize(
    ("distance", "verdict", "says"),
    [
        # 100, 300, 400 km of the 400 km that the new column gives this facing.
        ("100 km", "fail", "The clutch is raw: 100 km is 25 % of the bedding."),
        ("300 km", "warn", "Only 75 % of the bedding is done after 300 km."),
        ("400 km", "pass", "The clutch is bedded: 400 km driven."),
    ],
)
def test_it_judges_by_the_new_column(client, distance, verdict, says):
    made = answer(client, {"clutch": {"bedding_distance": distance, "facing": "organic"}})
    assert made["verdict"] == verdict
    assert made["checks"][0]["explanation"] == says
    assert made["assumptions"] == []


def test_it_rests_on_the_new_assumption_where_the_facing_is_not_said(client):
    made = answer(client, {"clutch": {"bedding_distance": "400 km"}}, detail="full")
    assert made["verdict"] == "warn"
    assert made["checks"][0]["rests_on"] == ["clutch.facing"]
    assert made["assumptions"][0]["label"] == "Distance an unknown facing takes to bed"
    assert made["assumptions"][0]["value"]["text"] == "500 km"


def test_it_asks_for_the_new_input_where_that_is_missing(client):
    made = answer(client, {"clutch": {"facing": "organic"}})
    assert made["verdict"] == "not_checked"
    assert made["open"]["needs"] == [{"check": "clutch-fresh-facing", "needs": [["clutch.bedding_distance"]]}]
    assert made["questions"][0]["ask"] == "How far was the car driven gently on the new clutch?"


def test_its_working_shows_the_numbers_put_in(client):
    working = answer(client, {"clutch": {"bedding_distance": "300 km", "facing": "organic"}}, detail="full")[
        "checks"
    ][0]["working"]
    assert [(step["formula"], step["with_numbers"], step["text"]) for step in working] == [
        ("clutch.bedding_distance / facings.bedding_distance", "300 km / 400 km", "75 %")
    ]


def test_the_other_checks_still_judge(client):
    made = client.post(
        "/v1/evaluations",
        json={"build": {"induction": {"boost": "15 psi"}, "sensors": {"manifold_pressure_range": "2 bar"}}},
    ).get_json()
    assert "manifold-pressure-range" in [one["check"] for one in made["checks"]]
