"""What to ask next: what settles most comes first, and no number is guessed at."""

from service.evaluation.reporting.questions import QuestionWriter


def asked(reply):
    return [question["input"] for question in reply["questions"]]


def test_what_settles_most_is_asked_first(answer):
    questions = answer({}, checks=("rope-strength", "rope-safety", "strand-stress"))["questions"]
    settled = {question["input"]: question["would_settle"] for question in questions}
    assert settled["load.force"] == ["rope-safety", "rope-strength", "strand-stress"]
    lengths = [len(question["would_settle"]) for question in questions]
    assert lengths == sorted(lengths, reverse=True)
    assert lengths[0] == 3
    assert all(question["ask"].endswith("?") for question in questions)


def test_of_alternatives_the_first_is_asked(answer):
    assert set(asked(answer({"load": {"force": "1 N"}}, checks=("rope-strength",)))) <= {
        "rope.strength",
        "rope.area",
    }
    assert len(asked(answer({"load": {"force": "1 N"}}, checks=("rope-strength",)))) == 1


def test_nothing_is_asked_when_all_is_judged(answer):
    assert (
        asked(answer({"load": {"force": "1 N"}, "rope": {"strength": "9 N"}}, checks=("rope-strength",)))
        == []
    )


def test_a_guard_that_waits_is_asked_for(answer):
    reply = answer({"load": {"force": "1 kN"}}, checks=("anchor",))
    assert asked(reply) == ["load.place"] and reply["questions"][0]["would_settle"] == ["anchor"]


def test_a_figure_with_two_readings_is_asked_first_and_never_taken(answer):
    reply = answer(
        {"load": {"figure": "100 N"}, "rope": {"area": "1 cm2"}}, checks=("rope-strength", "strand-stress")
    )
    assert reply["checks"] == []
    first = reply["questions"][0]
    assert first["input"] == "load.figure" and first["could_mean"] == ["load.force", "rope.strength"]
    assert first["would_settle"] == ["rope-strength", "strand-stress"]
    # Its reading is not asked for a second time under its own name.
    assert "load.force" not in asked(reply)


def test_a_figure_with_two_readings_is_asked_even_where_nothing_hangs_on_it(answer):
    reply = answer(
        {"load": {"figure": "100 N", "force": "1 N"}, "rope": {"strength": "9 N"}}, checks=("rope-strength",)
    )
    assert asked(reply) == ["load.figure"] and reply["checks"][0]["verdict"] == "pass"


def test_two_readings(winch):
    assert QuestionWriter(winch.rulebook).two_readings == {"load__figure": "load.figure"}


def test_questions_can_be_left_out(answer):
    assert "questions" not in answer({}, include=())
