"""Customers as they speak: the first call answers in one breath, with the right number and question."""

import re
from pathlib import Path

import pytest

from tests.support.expected import app_with
from tests.support.places import CATALOG
from tests.support.yaml_data import read_yaml

CUSTOMERS = read_yaml(Path(__file__).parent / "customers.yaml")
MOST_SPOKEN, MOST_WORDS = 600, 25
NUMBER = r"-?[0-9]+(?:,[0-9]{3})*(?:\.[0-9]+)?"


@pytest.fixture(scope="module")
def clients():
    return {False: app_with().test_client(), True: app_with(CATALOG=str(CATALOG)).test_client()}


def calls():
    """Each customer's call, and the one that answers better once it is there."""
    params = []
    for name, customer in CUSTOMERS.items():
        marks = [pytest.mark.xfail(strict=True, reason=customer["miss"])] if "miss" in customer else []
        params.append(pytest.param(customer, id=name, marks=marks))
        if "later" in customer:
            params.append(pytest.param(customer["later"], id=f"{name}, later"))
    return params


def told(response):
    """What a customer would hear of a reply, or of a refusal."""
    reply = response.get_json()
    if response.status_code != 200:
        return " ".join([fault["detail"] for fault in reply["errors"]])
    if not {"headline", "text", "limits"} & reply.keys():
        return response.text
    parts = [reply.get("headline"), reply.get("say"), reply.get("text"), reply.get("question", {}).get("ask")]
    parts += [entry.get("text") for entry in reply.get("limits", reply.get("solutions", []))]
    parts += [entry.get("text", entry.get("explanation")) for entry in reply.get("checks", [])]
    return " ".join(part for part in parts if part)


def numbers(text, unit):
    """Every number that stands before a unit; "499 to 582 hp" holds two."""
    found = re.findall(rf"({NUMBER})(?: to ({NUMBER}))? ?{re.escape(unit)}(?![A-Za-z])", text)
    return [float(number.replace(",", "")) for pair in found for number in pair if number]


@pytest.mark.parametrize("customer", calls())
def test_the_first_call_answers(customer, clients):
    ask, then = customer["ask"], dict(customer["then"])
    client = clients[bool(customer.get("catalog"))]
    response = client.post(f"/v1/{customer['call']}", json=ask)
    assert response.status_code == then.pop("status", 200), response.text
    reply, text = response.get_json(), told(response)
    if ask.get("detail") == "spoken" and response.status_code == 200:
        assert len(response.data) <= MOST_SPOKEN
    assert len(reply.get("headline", "").split()) <= MOST_WORDS
    if "verdict" in then:
        assert reply["verdict"] in then.pop("verdict"), text
    if "asks" in then:
        asked = reply.get("question") or reply["questions"][0]
        assert asked["input"] == then.pop("asks"), text
    for word in then.pop("heads", ()):
        assert word.casefold() in reply["headline"].casefold(), text
    for word in then.pop("says", ()):
        assert word.casefold() in text.casefold(), text
    for word in then.pop("never", ()):
        assert word.casefold() not in text.casefold(), text
    for unit, (number, within) in then.pop("about", {}).items():
        assert any(abs(found - number) <= within for found in numbers(text, unit)), text
    if "options" in then:
        [fault] = reply["errors"]
        offered = (*fault.get("options", ()), *filter(None, [fault.get("suggestion")]))
        assert set(offered) == set(then.pop("options"))
    assert then == {}


@pytest.mark.parametrize("name", CUSTOMERS)
def test_what_is_offered_is_taken_when_it_is_sent_back(name, clients):
    """A refusal leads to an answer in one more call."""
    ask = CUSTOMERS[name]["ask"]
    client = clients[bool(CUSTOMERS[name].get("catalog"))]
    refusal = client.post(f"/v1/{CUSTOMERS[name]['call']}", json=ask).get_json()
    for fault in refusal.get("errors", ()):
        _, _, group, field = fault["pointer"].split("/")
        for answer in (*fault.get("options", ()), *filter(None, [fault.get("suggestion")])):
            build = ask["build"] | {group: ask["build"][group] | {field: answer}}
            again = client.post(f"/v1/{CUSTOMERS[name]['call']}", json=ask | {"build": build})
            assert again.status_code == 200, again.text


def test_there_are_fifty_and_few_are_missed():
    assert len({name.split()[0] for name in CUSTOMERS}) >= 50
    assert all({"words", "call", "ask", "then"} <= customer.keys() for customer in CUSTOMERS.values())
    assert sum("miss" in customer for customer in CUSTOMERS.values()) <= 0.1 * len(CUSTOMERS)
