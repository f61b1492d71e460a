"""How many of several builds pass, warn and fail, in one sentence."""

from collections import Counter
from collections.abc import Iterable

# In this order, each with its verb for one and for several.
VERBS = {
    "pass": ("passes", "pass"),
    "warn": ("warns", "warn"),
    "fail": ("fails", "fail"),
    "not_checked": ("could not be judged", "could not be judged"),
    "faulty": ("has faults", "have faults"),
}


def counted(outcomes: Iterable[str], noun: str) -> str:
    """'Of 11 candidates 4 pass, 3 warn and 4 fail.'"""
    counts = Counter(outcomes)
    total = sum(counts.values())
    named = f"{total} {noun}{'' if total == 1 else 's'}"
    told = [(counts[outcome], verbs) for outcome, verbs in VERBS.items() if counts[outcome]]
    if len(told) == 1:
        (_, (one, several)) = told[0]
        if counts["not_checked"] and total > 1:
            return f"None of {named} could be judged."
        return f"The {noun} {one}." if total == 1 else f"All {named} {several}."
    *others, last = [f"{count} {one if count == 1 else several}" for count, (one, several) in told]
    return f"Of {named} {', '.join(others)} and {last}."
