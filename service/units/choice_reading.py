"""Counts and choices of a client, and the known word nearest to one written."""

import re
from collections.abc import Collection, Iterable, Mapping
from difflib import get_close_matches
from types import MappingProxyType

from service.units.fault import LONGEST_TEXT, Fault

# Letters that make a beginning.
LEAST_BEGUN = 4
# Letters that make a word long enough for one slip of the pen, and for two.
SLIPS_FROM = (3, 7)
_NO_SYNONYMS: Mapping[str, str] = MappingProxyType({})
_NO_NEAR_MISSES: Mapping[str, tuple[tuple[str, ...], str]] = MappingProxyType({})


def read_count(value: object, label: str, possible: tuple[int, int]) -> int | Fault:
    """A JSON integer within its possible range."""
    low, high = possible
    expected = f"a whole number from {low} to {high}"
    if type(value) is not int:
        number = (
            float(value)
            if type(value) is float or (type(value) is str and re.fullmatch("[0-9]{1,9}", value))
            else 0.5
        )
        fits = number.is_integer() and low <= number <= high
        return Fault(
            "wrong-type",
            f"{label}: this is not a whole number.",
            expected,
            str(int(number)) if fits else None,
        )
    if not low <= value <= high:
        return Fault("out-of-range", f"{label}: this number can't be right.", expected)
    return value


def read_choice(
    value: object,
    label: str,
    choices: Collection[str],
    synonyms: Mapping[str, str] = _NO_SYNONYMS,
    not_quite: Mapping[str, tuple[tuple[str, ...], str]] = _NO_NEAR_MISSES,
) -> tuple[str, str | None] | Fault:
    """A word out of a list, and a note where a trade word was taken for it; JSON true and false mean yes and
    no.
    """
    if type(value) is bool and "yes" in choices and "no" in choices:
        value = "yes" if value else "no"
    expected = "one of " + ", ".join(choices)
    if type(value) is not str:
        return Fault("wrong-type", f"{label}: this is not a word.", expected)
    if value in choices:
        return value, None
    if len(value) > LONGEST_TEXT:
        return Fault("too-long", f"{label}: the text is longer than {LONGEST_TEXT} characters.", expected)
    word = _as_word(value)
    for known in choices:
        if _as_word(known) == word:
            return known, None
    meanings = {_as_word(synonym): choice for synonym, choice in synonyms.items()}
    if word in meanings:
        return meanings[word], f"read as {meanings[word]}"
    if word in not_quite:
        meant, why = not_quite[word]
        alone = meant[0] if len(meant) == 1 else None
        return Fault("unknown-word", f"{label}: {why}.", expected, alone, () if alone else meant)
    suggestion = _misspelled(word, {_as_word(choice): choice for choice in choices} | meanings)
    return Fault("unknown-word", f"{label}: I don't know that word.", expected, suggestion)


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The known word most like the one written, letter case apart, or None."""
    known = {candidate.casefold(): candidate for candidate in reversed(list(words))}
    if len(word) > LONGEST_TEXT:
        return None
    begun = [folded for folded in known if len(word) >= LEAST_BEGUN and folded.startswith(word.casefold())]
    close = begun if len(begun) == 1 else get_close_matches(word.casefold(), known, n=1)
    return known[close[0]] if close else None


def _misspelled(word: str, meanings: Mapping[str, str]) -> str | None:
    """The choice of the one known word that differs by a slip of the pen; a likeness of letters is no
    likeness of parts.
    """
    slips: dict[int, set[str]] = {}
    for known, choice in meanings.items():
        allowed = sum(len(known) >= least for least in SLIPS_FROM)
        if (
            known[:1] == word[:1]
            and _digits(known) == _digits(word)
            and abs(len(known) - len(word)) <= allowed
        ):
            distance = edit_distance(known, word)
            if distance <= allowed:
                slips.setdefault(distance, set()).add(choice)
    closest = slips[min(slips)] if slips else set()
    return closest.pop() if len(closest) == 1 else None


def _digits(word: str) -> str:
    return "".join(letter for letter in word if letter.isdigit())


def edit_distance(word: str, other: str) -> int:
    """How many letters put in, left out, changed or swapped with the next lie between two words."""
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(word, 1):
        older, before, row = before, row, [i]
        for j, meant in enumerate(other, 1):
            distance = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != meant))
            if i > 1 and j > 1 and letter == other[j - 2] and word[i - 2] == meant:
                distance = min(distance, older[j - 2] + 1)
            row.append(distance)
    return row[-1]


def _as_word(text: str) -> str:
    return "_".join(text.casefold().replace("-", " ").replace("_", " ").split())
