"""Answers cut to what a model needs: what it tells the customer, what it asks next, what was assumed."""

from collections.abc import Iterable, Mapping
from typing import Any

Answer = Mapping[str, Any]

MOST_QUESTIONS = 3
MOST_ASSUMPTIONS = 4
MOST_UNDERSTOOD = 6
# The worst first; a sheet of them nobody reads.
MOST_CAUTIONS = 2


def kept(entry: Answer, *names: str) -> dict[str, Any]:
    """An entry with these of its fields that it has."""
    return {name: entry[name] for name in names if entry.get(name)}


def rest(answer: Answer) -> dict[str, Any]:
    """What every answer ends with: questions, assumptions, what was understood and what is open."""
    words: dict[str, Any] = {}
    if questions := answer.get("questions"):
        words["ask"] = [kept(question, "input", "ask", "answers") for question in questions[:MOST_QUESTIONS]]
    if assumptions := answer.get("assumptions"):
        words["assumed"] = [_assumed(entry) for entry in assumptions[:MOST_ASSUMPTIONS]]
    if more := len(answer.get("assumptions", ())) - MOST_ASSUMPTIONS + answer.get("more_assumptions", 0):
        words |= {"more_assumed": more} if more > 0 else {}
    if understood := answer.get("understood"):
        words["understood"] = [f"{entry['input']}: {entry['text']}" for entry in understood[:MOST_UNDERSTOOD]]
    if clashes := answer.get("misfits"):
        words["misfits"] = [clash["text"] for clash in clashes[:MOST_QUESTIONS]]
    if count := answer.get("open", {}).get("count"):
        words["checks_that_need_more"] = count
    return words


def _assumed(entry: Answer) -> str:
    between = f" ({entry['between']})" if "between" in entry else ""
    return f"{entry['label']}: {entry['text']}{between}"


def cautions_of(entries: Iterable[Answer]) -> list[str]:
    """The first caution of each entry, a few in all."""
    first = (entry["cautions"][0] for entry in entries if entry.get("cautions"))
    return list(dict.fromkeys(first))[:MOST_CAUTIONS]


def first_question(answer: Answer) -> str:
    """The question to ask next, where there is one."""
    return next((str(question["ask"]) for question in answer.get("questions", ())), "")


def told(*sentences: str | None) -> str:
    """Sentences as one text."""
    return " ".join(sentence for sentence in sentences if sentence)
