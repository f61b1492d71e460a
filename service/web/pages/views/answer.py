"""The answer: what stops the build, what fixes it, what to ask next, what was assumed."""

from typing import Any

from flask import Response, request

from service.json_object import JsonObject
from service.web.api.views.listed import require_listed
from service.web.pages.asked import Asked, asked
from service.web.pages.build import PARTS
from service.web.pages.fields import Field, Form
from service.web.pages.maps import map_picture
from service.web.pages.pictures.bar import verdict_bar
from service.web.pages.render import page

EVALUATIONS = "/v1/evaluations"
# As the API asks them at the detail `summary`: more at once is no conversation.
QUESTIONS_SHOWN = 3


def show_answer() -> Response:
    """The build judged; without one there is nothing yet but the form."""
    about = asked()
    answer = evaluation(about)
    return page("answer.html", about, here="/answer", answer=answer, **_parts(about, answer))


def show_working() -> Response:
    """How one check was worked out."""
    about = asked()
    check = request.args.get("check", "")
    require_listed(check, about.rulebook.checks, "check", "/v1/checks")
    answer = about.answer(EVALUATIONS, detail="full", checks=[check])
    entry = next((entry for entry in answer["checks"] if entry["check"] == check), None)
    return page(
        "working.html", about, here="/answer", answer=answer, entry=entry, bar=entry and verdict_bar(entry)
    )


def evaluation(about: Asked, **words: object) -> JsonObject:
    """All that the API tells of a build."""
    include = ["ranges", "questions", "remedies"]
    return about.answer(EVALUATIONS, **{"detail": "full", "include": include} | words)


def beside_headline(answer: JsonObject) -> list[str]:
    """What the headline had no room for: what is not modelled, what does not agree, what does not fit."""
    texts = [entry["text"] for entry in answer.get("misfits", ())]
    texts += [entry["text"] for entry in answer.get("scope", ())]
    for entry in answer.get("contradictions", ()):
        texts.append(" ".join(filter(None, [entry["text"], entry.get("reading")])))
    return [text for text in texts if text not in answer["headline"]]


def understood(answer: JsonObject) -> dict[str, str]:
    """How what was written was read, by input, and what the parts are that were named."""
    titles = {f"{PARTS}.{part['slot']}": part["title"] for part in answer.get("parts", ())}
    return titles | {entry["input"]: entry["text"] for entry in answer.get("understood", ())}


def _parts(about: Asked, answer: JsonObject) -> dict[str, Any]:
    form = Form(about)
    trouble = [entry for entry in answer["checks"] if entry["verdict"] != "pass"]
    questions = [
        (entry, form.field(entry["input"]))
        for entry in answer.get("questions", ())
        if form.has(entry["input"])
    ]
    return {
        "beside": beside_headline(answer),
        "trouble": trouble,
        "passed": [entry for entry in answer["checks"] if entry["verdict"] == "pass"],
        "bars": {entry["check"]: verdict_bar(entry) for entry in trouble},
        "maps": map_picture(about, answer),
        "questions": questions[:QUESTIONS_SHOWN],
        "more_questions": len(questions[QUESTIONS_SHOWN:]),
        "given": [field for field in (*form.usual, *form.given) if field.value],
        "understood": understood(answer),
        "assumed": _assumed(form, answer["assumptions"]),
    }


def _assumed(form: Form, assumptions: list[JsonObject]) -> list[tuple[JsonObject, Field | None]]:
    """Each with the field that takes a better value, where there is one; two that share it have it once."""
    paths = [entry["input"] for entry in assumptions]
    return [
        (entry, form.field(path) if form.has(path) and path not in paths[:place] else None)
        for place, (path, entry) in enumerate(zip(paths, assumptions, strict=True))
    ]
