"""The customers of customers.yaml, answered through the tools for language models and nothing else."""

import json
from pathlib import Path

import pytest

from service.web.tools.all_tools import BY_NAME
from service.web.tools.asking import InProcess
from tests.cases.test_customers import numbers
from tests.support.expected import app_with
from tests.support.places import CATALOG
from tests.support.tokens import tokens
from tests.support.yaml_data import read_yaml

CUSTOMERS = read_yaml(Path(__file__).parent / "customers.yaml")
TOOL_OF = {
    "evaluations": "judge_build",
    "requirements": "what_is_needed",
    "limits": "how_far",
    "solutions": "how_far",
    "selections": "choose_parts",
    "dyno-comparisons": "compare_pulls",
}
# Tools answer no columns of candidates: a model asks how far it goes instead.
WITHOUT_TOOL = {"sweeps"}
MOST = 800


@pytest.fixture(scope="module")
def services():
    return {False: InProcess(app_with()), True: InProcess(app_with(CATALOG=str(CATALOG)))}


def calls():
    params = []
    for name, customer in CUSTOMERS.items():
        marks = [pytest.mark.xfail(strict=True, reason=customer["miss"])] if "miss" in customer else []
        if customer["call"] not in WITHOUT_TOOL:
            params.append(pytest.param(customer, id=name, marks=marks))
        if "later" in customer:
            params.append(pytest.param(customer["later"], id=f"{name}, later"))
    return params


def arguments(customer):
    """What a model writes for it: the fields of the call, without those a tool has no need of."""
    given = {key: value for key, value in customer["ask"].items() if key not in ("detail", "find")}
    return given | ({"inputs": [customer["ask"]["find"]]} if "find" in customer["ask"] else {})


def heard(content):
    """What a customer hears now: not his own words again, and of the questions the first."""
    said = {key: value for key, value in content.items() if key not in ("understood", "ask")}
    return said | {"ask": content.get("ask", [])[:1]}


@pytest.mark.parametrize("customer", calls())
def test_the_tools_answer(customer, services):
    then = dict(customer["then"])
    tool = BY_NAME[TOOL_OF[customer["call"]]]
    answer = tool.answer(services[bool(customer.get("catalog"))], arguments(customer))
    told = answer.text + json.dumps(heard(answer.content or {}), ensure_ascii=False)
    assert tokens(answer.text) + tokens(answer.content or {}) < MOST
    assert answer.is_fault == (then.get("status", 200) != 200), answer.text
    if "verdict" in then:
        assert answer.content["verdict"] in then["verdict"], told
    if "asks" in then:
        assert answer.content["ask"][0]["input"] == then["asks"], told
    for word in then.get("heads", ()):
        assert word.casefold() in answer.content["headline"].casefold(), told
    for word in then.get("says", ()):
        assert word.casefold() in told.casefold(), told
    for word in then.get("never", ()):
        assert word.casefold() not in told.casefold(), told
    for unit, (number, within) in then.get("about", {}).items():
        assert any(abs(found - number) <= within for found in numbers(told, unit)), told
    for option in then.get("options", ()):
        assert option in answer.text


def test_all_of_the_first_twenty_have_a_tool():
    first = [customer for name, customer in CUSTOMERS.items() if int(name.split()[0]) <= 20]
    assert len(first) >= 20 and all(customer["call"] in TOOL_OF for customer in first)
