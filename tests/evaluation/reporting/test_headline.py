"""One plain sentence, fit to read aloud."""

from types import SimpleNamespace

import pytest

from service.evaluation.reporting.entry import Entry
from service.evaluation.reporting.headline import Standing, headline

RULEBOOK = SimpleNamespace(
    inputs={"rope.age": SimpleNamespace(label="Age of the rope")},
    checks={"rope": SimpleNamespace(title="Rope against the load"), "hook": SimpleNamespace(title="Hook")},
)


def entry(verdict, first, margin=None, cause="", **words):
    words |= {} if margin is None else {"margin": margin}
    return Entry("rope", verdict, words, first, cause)


def text(verdict, entries, not_checked=0, require=(), **rest):
    return headline(Standing(verdict, entries, not_checked, require, **rest), RULEBOOK)


def test_without_a_sentence_the_title_is_said():
    assert (
        text("fail", [entry("fail", "A long story.")], short=True)
        == "Does not work as planned: rope against the load."
    )


@pytest.mark.parametrize(
    ("verdict", "entries", "not_checked", "expected"),
    [
        ("pass", [entry("pass", "Holds.")], 0, "Nothing found in the numbers given: 1 check passed."),
        (
            "pass",
            [entry("pass", "Holds.")] * 2,
            1,
            "Nothing found in the numbers given: 2 checks passed. 1 check could not be judged.",
        ),
        ("warn", [entry("warn", "It is tight.")], 0, "Works on paper, with care: It is tight."),
        (
            "warn",
            [entry("warn", "A.", -0.1), entry("warn", "B.", -0.2), entry("pass", "C.", 0.5)],
            0,
            "Works on paper, with care: B. 1 more check warns.",
        ),
        (
            "fail",
            [entry("fail", "A.", -0.1), entry("warn", "B.", -0.9)],
            2,
            "Does not work as planned: A. 2 checks could not be judged.",
        ),
        (
            "fail",
            [entry("fail", "A.", -0.3), entry("fail", "B.", -0.2), entry("fail", "C.", -0.1)],
            0,
            "Does not work as planned: A. 2 more checks fail.",
        ),
        # Findings have no margin.
        (
            "fail",
            [entry("fail", "A."), entry("fail", "B.", -0.2)],
            0,
            "Does not work as planned: B. 1 more check fails.",
        ),
    ],
)
def test_what_decides_it_comes_first(verdict, entries, not_checked, expected):
    assert text(verdict, entries, not_checked) == expected


def test_only_the_first_sentence_is_said_and_what_it_hangs_on():
    doubtful = entry("warn", "It is tight.", -0.1, "the age of the rope, not stated")
    assert (
        text("warn", [doubtful])
        == "Works on paper, with care: It is tight. That depends on the age of the rope, not stated."
    )
    assert text("warn", [entry("warn", "It is tight.", -0.1)]) == "Works on paper, with care: It is tight."


def test_passes_that_could_be_something_else_are_counted():
    passes = [entry("pass", "Holds.", could_be=["pass", "warn"]), entry("pass", "Holds.", could_be=["pass"])]
    assert (
        text("pass", passes)
        == "Nothing found in the numbers given: 2 checks passed. 1 of them depends on what was not stated."
    )


def test_passes_that_only_figures_behind_stated_inputs_could_turn_are_counted_apart():
    behind = entry("pass", "Holds.", could_be=["pass", "warn"])
    behind.all_stated = True
    unstated = entry("pass", "Holds.", could_be=["pass", "warn"])
    assert text("pass", [behind]).endswith(
        "1 check passed. 1 of them could turn out otherwise within what was stated."
    )
    assert text("pass", [behind, unstated]).endswith(
        " 1 of them depends on what was not stated."
        " 1 of them could turn out otherwise within what was stated."
    )


def test_not_checked():
    assert text("not_checked", [], 1).startswith("Nothing could be judged")
    required = text("not_checked", [entry("pass", "Holds.")], 1, ("rope", "hook"))
    assert required.startswith("Hook: this had to be decided")


def test_a_pass_never_says_safe(answer):
    sentence = answer({"load": {"force": "1 N"}, "rope": {"strength": "1 kN"}}, checks=("rope-strength",))[
        "headline"
    ]
    assert "safe" not in sentence and sentence.startswith("Nothing found in the numbers given")


def test_the_headline_of_a_reply(answer):
    sentence = answer({"load": {"force": "100 N"}, "rope": {"strength": "50 N"}}, checks=("rope-strength",))[
        "headline"
    ]
    assert sentence == "Does not work as planned: The rope breaks: it holds 0.5 times the pull."
