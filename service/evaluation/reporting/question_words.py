"""A question about one input, in words: what to ask, why, and what it would settle."""

from dataclasses import dataclass, field, replace

from service.json_object import JsonObject
from service.rulebook.rulebook import Rulebook

TITLES_TOLD = 2
# More words than these are read in GET /v1/inputs.
ANSWERS_OFFERED = 8
# What nobody waits for comes by its weight, after all that has its turn.
LAST = 1_000


@dataclass(slots=True)
class Question:
    """One input to ask for: how much it settles, which checks wait for it, which verdicts depend on it.

    `turn`: where it comes before what settles most.
    """

    weight: float = 0.0
    turn: int = LAST
    waiting: list[str] = field(default_factory=list)
    depending: list[str] = field(default_factory=list)
    ask: str = ""
    """In place of the input's own question."""
    narrows: bool = False

    def copy(self) -> "Question":
        """One to which more may be added."""
        return replace(self, waiting=[*self.waiting], depending=[*self.depending])


def in_words(rulebook: Rulebook, path: str, question: Question) -> JsonObject:
    """What a client gets of a question."""
    input = rulebook.inputs[path]
    words: JsonObject = {
        "input": path,
        "ask": question.ask or input.ask,
        "why": _why(rulebook, path, question),
    }
    if input.kind in ("choice", "flag") and len(rulebook.words_of(input)) <= ANSWERS_OFFERED:
        words["answers"] = list(rulebook.words_of(input))
    if input.could_mean:
        words["could_mean"] = list(dict.fromkeys(input.could_mean.values()))
    return words | {"would_settle": list(dict.fromkeys([*question.waiting, *question.depending]))}


def _why(rulebook: Rulebook, path: str, question: Question) -> str:
    """What is open without an answer."""
    if rulebook.inputs[path].could_mean:
        return "The number can be read in more than one way."
    if question.depending:
        return f"It decides the {_shorts(rulebook, question.depending)}."
    if question.waiting:
        return f"I need it for the {_shorts(rulebook, question.waiting)}."
    if question.narrows:
        return "It would narrow the answer."
    return "Without it something in the build doesn't fit the rest."


def _shorts(rulebook: Rulebook, checks: list[str]) -> str:
    shorts = [rulebook.checks[check].short for check in dict.fromkeys(checks)]
    more = len(shorts) - TITLES_TOLD
    told = ", the ".join(shorts[:TITLES_TOLD])
    if more > 0:
        return f"{told} and {more} more check{'' if more == 1 else 's'}"
    return " and the ".join(shorts)
