"""The rules, read-only: what is judged, by which limits, on whose word, and whether the examples are met."""

from typing import Any, NamedTuple

from flask import Response

from service.errors import SpecError
from service.evaluation.examples import build_of
from service.json_object import JsonObject
from service.web.api import rulebook_pages
from service.web.api.answering import answer_to
from service.web.api.state import State, state_of_app
from service.web.api.views.listed import require_listed
from service.web.pages.asked import Asked, units_asked
from service.web.pages.render import page

LEVELS = ("warn", "fail")


class Outcome(NamedTuple):
    """A worked example: what is given, what is expected, and the verdict that the rules give today."""

    example: JsonObject
    expected: str
    verdict: str

    @property
    def agrees(self) -> bool:
        """Whether the verdict is the one expected; an example may expect figures alone."""
        return not self.expected or self.verdict == self.expected


def list_rules() -> Response:
    """Every check with the kinds of source that its limits rest on."""
    about = _about()
    pages = [rulebook_pages.check(about.rulebook, id) for id in about.rulebook.checks]
    rows = [(entry, *(_kinds(entry, level) for level in LEVELS)) for entry in pages]
    return page("rules.html", about, here="/rules", rows=rows)


def show_rule(id: str) -> Response:
    """One check whole."""
    about = _about()
    require_listed(id, about.rulebook.checks, "check", "/v1/checks")
    entry = rulebook_pages.check(about.rulebook, id)
    outcomes = [_outcome(about.state, id, example) for example in entry["examples"]]
    return page("rule.html", about, here="/rules", entry=entry, levels=LEVELS, outcomes=outcomes)


def _about() -> Asked:
    return Asked(state_of_app(), {}, units_asked())


def _kinds(entry: JsonObject, level: str) -> str:
    kinds = {bound["source"]["kind"] for bound in entry["limits"].get(level, ())}
    if entry["requires"] and entry["requires"]["if_missing"] == level:
        kinds.add(entry["requires"]["source"]["kind"])
    return ", ".join(sorted(kinds))


def _outcome(state: State, id: str, example: JsonObject) -> Outcome:
    build = build_of(state.rulebook, example["given"])
    return Outcome(example, str(example["expect"].get("verdict", "")), _verdict(state, id, build))


def _verdict(state: State, id: str, build: JsonObject) -> str:
    try:
        answer: dict[str, Any] = answer_to(
            state, "/v1/evaluations", {"build": build, "checks": [id], "include": []}
        )
    except SpecError:
        return "refused"
    for judged in answer["checks"]:
        return str(judged["verdict"])
    return "not_checked" if answer["open"]["count"] else "not_applicable"
