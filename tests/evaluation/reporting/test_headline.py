"""One plain sentence, fit to read aloud."""

from types import SimpleNamespace

import pytest

from service.evaluation.reporting.entry import Entry
from service.evaluation.reporting.goals import open_goals
from service.evaluation.reporting.headline import Standing, headline

RULEBOOK = SimpleNamespace(
    checks={"rope": SimpleNamespace(short="rope"), "hook": SimpleNamespace(short="hook")},
)


def entry(verdict, first, margin=None, cause="", could_be=(), **words):
    words |= {} if margin is None else {"margin": margin}
    return Entry("rope", verdict, words, first, cause, could_be=could_be)


def text(verdict, entries, require=(), **rest):
    return headline(Standing(verdict, entries, require, **rest), RULEBOOK)


@pytest.mark.parametrize(
    ("verdict", "entries", "expected"),
    [
        ("pass", [entry("pass", "Holds.")], "Nothing found in the numbers given: 1 check passed."),
        ("pass", [entry("pass", "Holds.")] * 2, "Nothing found in the numbers given: 2 checks passed."),
        ("warn", [entry("warn", "It is tight.")], "Workable, with caution: it is tight."),
        (
            "warn",
            [entry("warn", "A.", -0.1), entry("warn", "It sags.", -0.2), entry("pass", "C.", 0.5)],
            "Workable, with caution: it sags. 1 more check warns.",
        ),
        (
            "fail",
            [entry("fail", "The rope breaks.", -0.1), entry("warn", "B.", -0.9)],
            "Won't work as planned: the rope breaks.",
        ),
        (
            "fail",
            [entry("fail", "ABS fails.", -0.3), entry("fail", "B.", -0.2), entry("fail", "C.", -0.1)],
            "Won't work as planned: ABS fails. 2 more checks fail.",
        ),
        # Findings have no margin.
        (
            "fail",
            [entry("fail", "A."), entry("fail", "It breaks.", -0.2)],
            "Won't work as planned: it breaks. 1 more check fails.",
        ),
    ],
)
def test_what_decides_it_comes_first(verdict, entries, expected):
    assert text(verdict, entries) == expected


def test_what_could_still_pass_is_not_condemned():
    doubtful = entry("fail", "It breaks.", -0.1, could_be=("pass", "fail"))
    assert text("fail", [doubtful]) == "May not work as planned: it breaks."


def test_what_it_depends_on_is_said():
    doubtful = entry("warn", "It is tight.", -0.1, "the age of the rope")
    assert (
        text("warn", [doubtful]) == "Workable, with caution: it is tight. It depends on the age of the rope."
    )


def test_what_is_not_modelled_comes_before_a_contradiction_and_that_before_a_failure():
    fails = [entry("fail", "It breaks.", -0.1)]
    words = {"scope": ["No chains here."], "contradictions": ["You say hemp and steel."]}
    assert text("fail", fails, **words) == (
        "No chains here. You say hemp and steel. Won't work as planned: it breaks."
    )


def test_nobody_has_to_listen_to_more_than_25_words():
    long = " ".join(["word"] * 24) + "."
    assert text("fail", [entry("fail", long)]) == "Won't work as planned: the rope fails."
    scope = " ".join(["word"] * 20) + "."
    assert text("fail", [entry("fail", "It breaks under such a load.")], scope=[scope]) == scope


def test_what_it_depends_on_is_not_said_of_something_that_did_not_fit():
    doubtful = entry("warn", "It is tight under such a load as that.", -0.1, "the rope")
    scope = " ".join(["word"] * 20) + "."
    assert text("warn", [doubtful, doubtful], scope=[scope]) == scope


def test_passes_that_could_be_something_else_are_counted():
    passes = [entry("pass", "Holds.", could_be=("pass", "warn")), entry("pass", "Holds.", could_be=("pass",))]
    assert text("pass", passes).endswith("2 checks passed. 1 of them rests on assumptions.")


def test_passes_that_only_figures_behind_given_inputs_could_turn_are_counted_apart():
    behind = entry("pass", "Holds.", could_be=("pass", "warn"))
    behind.all_stated = True
    open_end = entry("pass", "Holds.", could_be=("pass", "warn"))
    last = "1 could turn within the spread of what was given."
    assert text("pass", [behind]).endswith(f"1 check passed. {last}")
    assert "1 of them rests on assumptions." in text("pass", [behind, open_end])


def test_a_pass_says_nothing_of_what_was_asked_for_and_not_judged():
    said = text("pass", [entry("pass", "Holds.")] * 2, goals=["target power"])
    assert said.startswith("I can't judge the target power yet;") and "2 checks passed" in said
    assert "Nothing found" not in said


def test_a_target_is_open_until_a_check_reads_it(real_rules):
    """Boost and displacement say how warm the charge gets and nothing of 600 hp; eight injectors do."""
    build = {
        "engine": {"displacement": "6.0 L"},
        "induction": {"kind": "blown", "boost": "8 psi"},
        "target": {"power": "600 hp at the wheels"},
    }
    fed = build | {"fuel_system": {"injector_count": 8, "injector_flow": "120 lb/h"}}

    def goals(build):
        return open_goals(real_rules.plan(real_rules.read(build), ()))

    assert goals(build) == ["target power"] and goals(fed) == []
    assert goals({key: build[key] for key in ("engine", "induction")}) == []


def test_not_checked():
    assert text("not_checked", []).startswith("That's not enough to judge anything")
    required = text("not_checked", [entry("pass", "Holds.")], ("rope", "hook"))
    assert required.startswith("I can't judge the hook yet")


def test_a_pass_never_says_safe(answer):
    sentence = answer({"load": {"force": "1 N"}, "rope": {"strength": "1 kN"}}, checks=("rope-strength",))[
        "headline"
    ]
    assert "safe" not in sentence and sentence.startswith("Nothing found in the numbers given")


def test_the_headline_of_a_reply(answer):
    sentence = answer({"load": {"force": "100 N"}, "rope": {"strength": "50 N"}}, checks=("rope-strength",))[
        "headline"
    ]
    assert sentence == "Won't work as planned: the rope breaks: it holds 0.5 times the pull."
