"""What customers read is short trade English: lengths, words nobody says, and what every check has to say."""

import json

import pytest

from service.evaluation.examples import build_of
from service.evaluation.request import Request
from tests.support.places import ROOT
from tests.support.random_builds import random_builds
from tests.support.rules import real_evaluator, real_rulebook
from tests.support.words import banned, count, reply_texts, rule_texts
from tests.support.yaml_data import read_yaml

QUESTION, SCOPE, FIRST_SENTENCE, CONTRADICTION, EXPLANATION, HEADLINE = 20, 20, 17, 25, 45, 25
UNITS = ("metric", "us")


def evaluated(build, **asked):
    return real_evaluator().evaluate(Request(build, **asked))


def test_the_rules_say_no_word_that_nobody_says():
    said = {(place, word) for place, text in rule_texts(real_rulebook()) for word in banned(text)}
    assert said == set()


def test_questions_are_short_enough_to_be_asked():
    rulebook = real_rulebook()
    asks = {path: field.ask for path, field in rulebook.inputs.items()}
    for check in rulebook.checks.values():
        asks |= {contradiction.id: contradiction.ask for contradiction in check.contradictions}
    assert {name: ask for name, ask in asks.items() if count(ask) > QUESTION} == {}
    assert {name: ask for name, ask in asks.items() if ask and ask.count("?") != 1} == {}


def test_no_question_asks_how_wide():
    """Wide is the way a belt runs; a pulley has a diameter."""
    assert [path for path, field in real_rulebook().inputs.items() if "wide" in field.ask] == []


def test_what_is_not_modelled_is_said_shortly():
    rules = real_rulebook().scope.values()
    assert {rule.id: rule.text for rule in rules if count(rule.text) > SCOPE} == {}


def test_what_happens_past_a_limit_is_said_of_every_check_that_has_one():
    checks = real_rulebook().checks.values()
    assert {check.id for check in checks if (check.levers or check.limits) and not check.beyond} == set()
    # It ends a sentence: "past that it knocks on this fuel".
    for check in checks:
        assert check.beyond == check.beyond.strip(". ") and not check.beyond[:1].isupper()


def test_names_inside_sentences_follow_an_article():
    for check in real_rulebook().checks.values():
        assert check.short == check.short.strip(". ") and "against" not in check.short + check.title
        assert check.short[:1].islower() or check.short.startswith("Roots")


@pytest.fixture(scope="module", params=UNITS)
def worked(request):
    """(check, verdict) and the whole answer of each worked example, at summary and at full."""
    rulebook = real_rulebook()
    answers = []
    for check in rulebook.checks.values():
        for example in check.examples:
            asked = {"checks": (check.id,), "units": request.param}
            build = build_of(rulebook, example.given)
            answers.append((check.id, evaluated(build, **asked), evaluated(build, detail="full", **asked)))
    return answers


def first(check, full):
    """The first sentence of a check's explanation."""
    [entry] = [entry for entry in full["checks"] if entry["check"] == check]
    text = entry["explanation"]
    end = text.find(". ")
    return text if end < 0 else text[: end + 1]


def test_first_sentences_fit_into_a_headline(worked):
    told = {first(check, full) for check, _, full in worked if full["checks"] and check != "spec-consistency"}
    assert len(told) > 150
    assert [sentence for sentence in told if count(sentence) > FIRST_SENTENCE] == []


def test_answers_of_worked_examples_are_short(worked):
    for _, summary, full in worked:
        assert count(summary["headline"]) <= HEADLINE, summary["headline"]
        for entry in summary["checks"]:
            assert count(entry.get("explanation", "")) <= EXPLANATION, entry["explanation"]
        assert [word for text in reply_texts(full) for word in banned(text)] == []


def test_a_contradiction_is_told_shortly(worked):
    for _, summary, _ in worked:
        for entry in summary.get("contradictions", ()):
            assert count(entry["text"]) <= CONTRADICTION, entry["text"]


def test_the_examples_of_the_contract_say_no_word_that_nobody_says():
    shown = json.loads((ROOT / "service/web/api/contract/examples.json").read_text(encoding="utf-8"))
    assert [word for text in reply_texts(shown) for word in banned(text)] == []


@pytest.mark.parametrize(("name", "key"), [("builds", "builds"), ("production-engines", "engines")])
def test_headlines_of_known_builds(name, key):
    for case in read_yaml(ROOT / f"tests/cases/{name}.yaml")[key]:
        for units in UNITS:
            headline = evaluated(case["spec"], units=units)["headline"]
            assert count(headline) <= HEADLINE, headline


@pytest.mark.slow
def test_answers_to_random_builds_are_short_and_plain():
    evaluator = real_evaluator()
    lengths = []
    for position, build in enumerate(random_builds(2000)):
        answer = evaluator.evaluate(Request(build, units=UNITS[position % 2], detail="summary"))
        assert count(answer["headline"]) <= HEADLINE, answer["headline"]
        for entry in answer["checks"]:
            lengths.append(count(entry.get("explanation", "")))
            assert lengths[-1] <= EXPLANATION, entry["explanation"]
        assert [word for text in reply_texts(answer) for word in banned(text)] == []
    assert len(lengths) > 10_000
