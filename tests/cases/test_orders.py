"""Orders as they are written down: every fault named at once, what is taken repeated, and the fixed order
answered.
"""

from pathlib import Path

import pytest

from service.app import create_app
from tests.support.yaml_data import read_yaml

ORDERS = read_yaml(Path(__file__).parent / "orders.yaml")


@pytest.fixture(scope="module")
def client():
    return create_app().test_client()


@pytest.fixture(scope="module")
def post(client):
    return lambda build, **rest: client.post("/v1/evaluations", json={"build": build, "units": "us"} | rest)


def chosen(key):
    return [
        pytest.param(
            order,
            id=name,
            marks=[pytest.mark.xfail(strict=True, reason=order["miss"])] if "miss" in order else [],
        )
        for name, order in ORDERS.items()
        if key in order
    ]


@pytest.mark.parametrize("order", chosen("refused"))
def test_every_fault_is_named_in_one_answer(order, post):
    reply = post(order["written"])
    assert reply.status_code == 422
    faults = {fault["pointer"]: fault for fault in reply.json["errors"]}
    assert set(faults) == set(order["refused"])
    for pointer, (code, words) in order["refused"].items():
        fault = faults[pointer]
        assert fault["code"] == code
        assert words in " ".join([fault.get("suggestion", ""), fault["detail"], fault["expected"]])
    for pointer, words in order.get("forms", {}).items():
        assert all(word in faults[pointer]["expected"] for word in words)
    for pointer in order.get("not_chosen", ()):
        assert "suggestion" not in faults[pointer]


@pytest.mark.parametrize("order", chosen("understood"))
def test_what_is_taken_is_repeated(order, post):
    said = {entry["input"]: entry["text"] for entry in post(order["written"]).json["understood"]}
    for path, words in order["understood"].items():
        assert words in said[path]


@pytest.mark.parametrize("order", chosen("then"))
def test_the_order_set_right_is_answered(order, post):
    build, then = order.get("fixed", order["written"]), dict(order["then"])
    wanted = {"detail": "full", "include": ["ranges", "questions", "remedies"]}
    full = reply = post(build, units=order.get("units", "us"), **wanted).json
    checks = {entry["check"]: entry for entry in reply["checks"]}
    not_checked = {entry["check"]: entry for entry in reply["open"]["needs"]}
    asked = [question["input"] for question in reply["questions"]]
    if "verdict" in then:
        assert reply["verdict"] == then.pop("verdict")
    for check, allowed in then.pop("verdicts", {}).items():
        assert checks[check]["verdict"] in allowed, checks[check]
    for check, (value, unit, within) in then.pop("values", {}).items():
        assert checks[check]["value"]["unit"] == unit
        assert checks[check]["value"]["value"] == pytest.approx(value, abs=within)
    for check, (value, unit) in then.pop("between", {}).items():
        assert checks[check]["range"]["unit"] == unit
        assert checks[check]["range"]["low"] <= value <= checks[check]["range"]["high"]
    for check, quantities in then.pop("quantities", {}).items():
        working = {
            line["name"]: line
            for entry in full["checks"]
            if entry["check"] == check
            for line in entry["working"]
        }
        for name, (value, unit, within) in quantities.items():
            assert working[name]["unit"] == unit
            assert working[name]["value"] == pytest.approx(value, abs=within)
    for check, words in then.pop("says", {}).items():
        assert words in checks[check]["explanation"]
    for check, verdict in then.pop("could_be", {}).items():
        assert verdict in checks[check]["could_be"]
    assert set(then.pop("not_checked", ())) <= set(not_checked)
    for check, paths in then.pop("needs", {}).items():
        for path in paths:
            assert any(path in group for group in not_checked[check]["needs"])
    for check in then.pop("not_passed", ()):
        assert check in not_checked or checks[check]["verdict"] != "pass"
    assert set(then.pop("asks", ())) <= set(asked)
    if "asks_first" in then:
        assert asked[0] == then.pop("asks_first")
    assert set(then.pop("asks_at_full", ())) <= {question["input"] for question in full["questions"]}
    places = [asked.index(path) for path in then.pop("asks_in_order", ())]
    assert places == sorted(places)
    if "could_mean" in then:
        assert set(then.pop("could_mean")) <= set(reply["questions"][0]["could_mean"])
    assert set(then.pop("assumes", ())) <= {entry["input"] for entry in reply["assumptions"]}
    for check, change in then.pop("remedy", {}).items():
        assert change in [remedy["set"] for remedy in checks[check]["remedies"]]
    for check, path in then.pop("remedy_moves", {}).items():
        group, _, name = path.partition(".")
        assert any(name in remedy["set"].get(group, {}) for remedy in checks[check]["remedies"])
    assert then == {}
