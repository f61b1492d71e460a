"""One plain sentence that says how it stands, fit to read aloud."""

from dataclasses import dataclass, field, replace

from service.evaluation.reporting.entry import Entry
from service.evaluation.reporting.sentences import lower
from service.rulebook.rulebook import Rulebook


@dataclass(frozen=True, slots=True)
class Standing:
    """How a build stands: the verdict of the whole, the checks judged, how many were not, and those that had
    to be.
    """

    verdict: str
    entries: list[Entry]
    not_checked: int
    require: tuple[str, ...] = ()
    short: bool = False
    scope: list[str] = field(default_factory=list)
    """What the rules do not model of this build, in words."""


def headline(standing: Standing, rulebook: Rulebook) -> str:
    """The verdict of the whole in a sentence: what decides it, and how much was not judged.

    What decides it is told by the check's first sentence; in a short headline its title stands for it.
    """
    if standing.scope:
        rest = headline(replace(standing, scope=[]), rulebook) if standing.entries else ""
        return f"{standing.scope[0]} {rest}".strip()
    verdict, entries = standing.verdict, standing.entries
    open_ends = (
        f" {_count(standing.not_checked, 'check')} could not be judged." if standing.not_checked else ""
    )
    if verdict == "not_checked":
        return _not_checked(standing, rulebook)
    if verdict == "pass":
        passed = f"{_count(len(entries), 'check')} passed."
        return f"Nothing found in the numbers given: {passed}{_in_doubt(entries)}{open_ends}"
    worst = [entry for entry in entries if entry.verdict == verdict]
    worst.sort(key=_margin)
    decides = worst[0]
    text = "" if standing.short else decides.first
    text = text or f"{lower(rulebook.checks[decides.check].title)}."
    cause = f" That depends on {decides.cause}." if decides.cause else ""
    others = len(worst) - 1
    verb = ("fail" if verdict == "fail" else "warn") + ("s" if others == 1 else "")
    more = f" {_count(others, 'more check')} {verb}." if others else ""
    start = "Does not work as planned:" if verdict == "fail" else "Works on paper, with care:"
    return f"{start} {text}{cause}{more}{open_ends}"


def _not_checked(standing: Standing, rulebook: Rulebook) -> str:
    judged = {entry.check for entry in standing.entries}
    lacking = [check for check in standing.require if check not in judged]
    if lacking and judged:
        title = rulebook.checks[lacking[0]].title
        return f"{title}: this had to be decided and could not be with the numbers given."
    return "Nothing could be judged with the numbers given; the questions say what is missing."


def _margin(entry: Entry) -> float:
    """How far past its limit; what has no limit lacks all of what it needs."""
    lacks = "missing" in entry.words or ("value" in entry.words and "limit" not in entry.words)
    return float(entry.words.get("margin", -1.0 if lacks else 0.0))


def _in_doubt(entries: list[Entry]) -> str:
    """How many passes could be something else."""
    doubted = [entry for entry in entries if entry.in_doubt]
    within_stated = sum(entry.all_stated for entry in doubted)
    not_stated = len(doubted) - within_stated
    text = ""
    if not_stated:
        text += f" {not_stated} of them depend{'s' if not_stated == 1 else ''} on what was not stated."
    if within_stated:
        text += f" {within_stated} of them could turn out otherwise within what was stated."
    return text


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
