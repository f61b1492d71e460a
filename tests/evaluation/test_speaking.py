"""An answer in US units says the words of the American trade; names, numbers and verdicts stay."""

import re

import pytest

from service.evaluation.request import Request
from service.rulebook.worded import worder
from tests.support.rules import real_evaluator

BUILD = {
    "usage": "street",
    "engine": {"displacement": "5.0 L", "peak_power_speed": "6000 rpm", "redline": "6500 rpm"},
    "flywheel": {"material": "grey_iron", "outer_diameter": "330 mm", "inner_diameter": "60 mm"},
    "driveline": {"tyre_speed_rating": "210 km/h", "top_gear_ratio": 0.8, "final_drive_ratio": 3.5},
    "target": {"power": "430 hp", "power_at": "crank"},
}


def texts(node):
    """Every string of an answer that people read."""
    if isinstance(node, dict):
        for key, value in node.items():
            if isinstance(value, str) and key in ("text", "headline", "explanation", "label", "title", "ask"):
                yield value
            yield from texts(value)
    elif isinstance(node, list):
        for value in node:
            yield value if isinstance(value, str) and " " in value else ""
            yield from texts(value)


def answer(units, detail="full"):
    return real_evaluator().evaluate(Request(BUILD, units=units, detail=detail))


@pytest.fixture(scope="module")
def american():
    words = real_evaluator().rulebook.wording["us"]
    return re.compile(rf"\b({'|'.join(words)})\b", re.IGNORECASE)


def test_no_english_word_is_left_in_an_american_answer(american):
    said = [text for text in texts(answer("us")) if american.search(text)]
    assert said == []
    assert any(american.search(text) for text in texts(answer("metric")))


def test_the_verdicts_are_the_same():
    english, american = answer("metric"), answer("us")
    assert [(entry["check"], entry["verdict"]) for entry in english["checks"]] == [
        (entry["check"], entry["verdict"]) for entry in american["checks"]
    ]


def test_every_word_of_a_choice_is_read_in_both():
    """A choice whose name is an English word is taken in the American one as well."""
    rulebook = real_evaluator().rulebook
    word = worder(rulebook.wording["us"])
    for field in rulebook.inputs.values():
        if field.kind != "choice":
            continue
        for choice in rulebook.words_of(field):
            american = word(choice.replace("_", " ")).replace(" ", "_")
            assert american in rulebook.words_of(field) or american in field.synonyms, (field.path, american)
