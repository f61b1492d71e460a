"""The rules in the words of another trade."""

import pytest

from service.rulebook.worded import worder

US = {"petrol": "gasoline", "tyre": "tire", "tyres": "tires"}


@pytest.mark.parametrize(
    ("text", "worded"),
    [
        ("Petrol or tyres", "Gasoline or tires"),
        ("the tyre-speed rating", "the tire-speed rating"),
        ("petroleum", "petroleum"),
    ],
)
def test_whole_words_are_put_in_with_their_capital(text, worded):
    assert worder(US)(text) == worded


def test_without_words_nothing_changes():
    assert worder({})("petrol") == "petrol"
