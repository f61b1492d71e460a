"""Sentences cut at their placeholders."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.rulebook.files.text import Placeholder, parse_sentence


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Nothing to put in.", ["Nothing to put in."]),
        ("{value}", [Placeholder("value", None, None)]),
        ("Holds {value} times.", ["Holds ", Placeholder("value", None, None), " times."]),
        (
            "{engine.bore in mm}{usage}",
            [Placeholder("engine.bore", "mm", None), Placeholder("usage", None, None)],
        ),
        ("{speed at peak_power}", [Placeholder("speed", None, "peak_power")]),
        ("{boost in psi at peak_power}.", [Placeholder("boost", "psi", "peak_power"), "."]),
        ("{load in lb/hp/h}", [Placeholder("load", "lb/hp/h", None)]),
        ("100 % of 5 < 6", ["100 % of 5 < 6"]),
    ],
)
def test_cut_at_placeholders(text, parts):
    sentence = parse_sentence(text, 7)
    assert list(sentence.parts) == parts
    assert sentence.line == 7
    assert sentence.placeholders == [part for part in parts if isinstance(part, Placeholder)]


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "}",
        "{a",
        "a}",
        "{{a}}",
        "{}",
        "{ a }",
        "{a b}",
        "{A}",
        "{a:.2f}",
        "{a!r}",
        "{a[0]}",
        "{a in }",
        "{a at x at y}",
        "{a at x in psi}",
    ],
)
def test_any_other_brace_is_refused(text):
    with pytest.raises(ValueError):
        parse_sentence(text, 1)


@given(
    st.text(max_size=60)
    | st.lists(st.sampled_from(["{", "}", "a", ".", " in psi", " at x", " ", "_"]), max_size=15).map("".join)
)
def test_what_is_taken_loses_nothing(text):
    try:
        sentence = parse_sentence(text, 1)
    except ValueError:
        assert "{" in text or "}" in text
        return
    said = "".join(
        part
        if isinstance(part, str)
        else "{"
        + part.name
        + (f" in {part.unit}" if part.unit else "")
        + (f" at {part.point}" if part.point else "")
        + "}"
        for part in sentence.parts
    )
    assert said == text
