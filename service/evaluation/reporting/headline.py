"""One plain sentence that says how it stands, fit to read aloud."""

from service.evaluation.reporting.doubt import lower
from service.rulebook.rulebook import Rulebook


def headline(
    verdict: str,
    checks: list[dict],
    first: dict[str, str],
    not_checked: list,
    rulebook: Rulebook,
    require: tuple[str, ...],
    judged: set[str],
) -> str:
    """The verdict of the whole in a sentence: what decides it, and how much was not judged.

    `first`: the first sentence of each check; where there is none its title stands for it.
    """
    open_ends = f" {_count(len(not_checked), 'check')} could not be judged." if not_checked else ""
    if verdict == "not_checked":
        lacking = [one for one in require if one not in judged]
        if lacking and judged:
            return f"{rulebook.checks[lacking[0]].title}: this had to be decided and could not be with the numbers given."
        return "Nothing could be judged with the numbers given; the questions say what is missing."
    if verdict == "pass":
        return f"Nothing found in the numbers given: {_count(len(checks), 'check')} passed.{_in_doubt(checks, rulebook)}{open_ends}"
    worst = [entry for entry in checks if entry["verdict"] == verdict]
    worst.sort(key=lambda entry: entry.get("margin", 0.0))
    said = first.get(worst[0]["check"]) or f"{lower(rulebook.checks[worst[0]['check']].title)}."
    others = len(worst) - 1
    more = ""
    if others:
        more = f" {_count(others, 'more check')} {'fail' if verdict == 'fail' else 'warn'}{'s' if others == 1 else ''}."
    start = "Does not work as planned:" if verdict == "fail" else "Works on paper, with care:"
    return f"{start} {said}{_hangs_on(worst[0], rulebook)}{more}{open_ends}"


def _in_doubt(checks: list[dict], rulebook: Rulebook) -> str:
    """How many passes could be something else."""
    doubted = [entry for entry in checks if len(entry.get("could_be", ())) > 1]
    if not doubted:
        return ""
    return f" {len(doubted)} of them hang{'s' if len(doubted) == 1 else ''} on what was not stated."


def _hangs_on(entry: dict, rulebook: Rulebook) -> str:
    """What could turn the verdict that decides."""
    if len(entry.get("could_be", ())) < 2 or "settle_by" not in entry:
        return ""
    return f" That hangs on the {lower(rulebook.inputs[entry['settle_by'][0]].label)}, not stated."


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
