"""One plain sentence that says how it stands, fit to read aloud."""

from service.rulebook.rulebook import Rulebook


def headline(verdict: str, checks: list[dict], not_checked: list, rulebook: Rulebook, require: tuple[str, ...], judged: set[str]) -> str:
    """The verdict of the whole in a sentence: what decides it, and how much was not judged."""
    open_ends = f" {_count(len(not_checked), 'check')} could not be judged." if not_checked else ""
    if verdict == "not_checked":
        lacking = [one for one in require if one not in judged]
        if lacking and judged:
            return f"{rulebook.checks[lacking[0]].title}: this had to be decided and could not be with the numbers given."
        return "Nothing could be judged with the numbers given; the questions say what is missing."
    if verdict == "pass":
        return f"Nothing found in the numbers given: {_count(len(checks), 'check')} passed.{open_ends}"
    worst = [entry for entry in checks if entry["verdict"] == verdict]
    worst.sort(key=lambda entry: entry.get("margin", 0.0))
    first = worst[0]["explanation"]
    others = len(worst) - 1
    more = ""
    if others:
        more = f" {_count(others, 'more check')} {'fail' if verdict == 'fail' else 'warn'}{'s' if others == 1 else ''}."
    start = "Does not work as planned:" if verdict == "fail" else "Works on paper, with care:"
    return f"{start} {first}{more}{open_ends}"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
