"""What a verdict depends on: an input that was not given, or a figure behind one that was."""

import pytest

BUILD = {
    "target": {"power": "480 hp", "power_at": "crank"},
    "fuel": {"grade": "premium_93_aki", "brake_specific_consumption": "0.60 lb/hp/h"},
    "fuel_system": {
        "injector_count": 8,
        "injector_flow": "42.2 lb/h",
        "injector_rated_fluid": "petrol",
        "rail_pressure": "43.5 psi",
        "injector_rated_pressure": "43.5 psi",
        "boost_referenced": "yes",
    },
}


@pytest.fixture
def reply(reply_to):
    """The reply about the injectors alone, with one field of the fuel system left out or another word."""

    def ask(**fields):
        fuel_system = {key: value for key, value in (BUILD["fuel_system"] | fields).items() if value}
        return reply_to(BUILD | {"fuel_system": fuel_system}, checks=("injector-duty",), units="us")

    return ask


def test_of_an_input_that_was_stated_the_figure_behind_it_is_told(reply):
    # EN 228 lets petrol be 0.72 to 0.775 kg/L; that it is petrol was stated, and nobody can be asked for
    # more.
    answer = reply()
    [entry] = answer["checks"]
    behind = "the density of the fluid the injectors were rated on, 0.72 to 0.775 kg/L"
    assert entry["could_be"] == ["pass", "warn"]
    told = f"Depending on {behind}, it could be anywhere from 84 to 87 %: pass or warn."
    assert told in entry["explanation"] and "not given" not in entry["explanation"] + answer["headline"]
    assert "settle_by" not in entry and answer["questions"] == []


def test_of_one_that_was_not_stated_it_says_so_and_asks(reply):
    answer = reply(injector_rated_fluid=None)
    [entry] = answer["checks"]
    assert "Depending on the injector rating fluid," in entry["explanation"]
    assert entry["settle_by"] == ["fuel_system.injector_rated_fluid"]
    assert [question["input"] for question in answer["questions"]] == ["fuel_system.injector_rated_fluid"]


def test_the_larger_of_a_stated_and_an_unstated_one_is_told_and_only_the_latter_asked_for(reply):
    answer = reply(rail_pressure=None)
    [entry] = answer["checks"]
    assert "Depending mostly on the rail pressure" in entry["explanation"]
    assert entry["settle_by"] == ["fuel_system.rail_pressure"]
    assert [question["input"] for question in answer["questions"]] == ["fuel_system.rail_pressure"]
