"""Random builds over every input of the rulebook, seeded: the texts a client could send."""

import random
from collections.abc import Iterator

from service.rulebook.load import load_rulebook
from service.rulebook.rulebook import Rulebook
from service.units.units import DIMENSIONS
from tests.support.places import RULES
from tests.support.rules import real_rulebook

SETS_OF_FIELDS = 40


def random_builds(count: int, seed: int = 6) -> list[dict]:
    """Builds that share some sets of fields, so that many of them have the same plan."""
    source, rulebook = random.Random(seed), load_rulebook(RULES)
    sets = [_fields(source, rulebook) for _ in range(SETS_OF_FIELDS)]
    return [_build(source, *source.choice(sets)) for _ in range(count)]


def unlike_builds(seed: int) -> Iterator[dict]:
    """Builds without end by threes: fields of their own, the same with other numbers, and the same with other
    words, which takes another plan.
    """
    source, rulebook = random.Random(seed), real_rulebook()
    while True:
        chosen, words = _fields(source, rulebook)
        yield _build(source, chosen, words)
        yield _build(source, chosen, words)
        yield _build(source, chosen, _words(source, rulebook, chosen))


def _fields(source: random.Random, rulebook: Rulebook) -> tuple[list, dict[str, str]]:
    """Inputs that are given, and the words of those that are chosen."""
    inputs = [
        one
        for one in rulebook.inputs.values()
        if one.kind in ("number", "count", "choice", "flag") and not one.could_mean
    ]
    share = source.choice([0.1, 0.3, 0.6, 0.95])
    chosen = [one for one in inputs if source.random() < share]
    return chosen, _words(source, rulebook, chosen)


def _words(source: random.Random, rulebook: Rulebook, chosen: list) -> dict[str, str]:
    return {
        one.path: source.choice(list(rulebook.words_of(one)))
        for one in chosen
        if one.kind in ("choice", "flag")
    }


def _build(source: random.Random, chosen: list, choices: dict[str, str]) -> dict:
    build: dict = {}
    for one in chosen:
        place = build.setdefault(one.group, {}) if one.group else build
        place[one.name] = choices[one.path] if one.path in choices else _number(source, one)
    return build


def _number(source: random.Random, one) -> object:
    if one.kind == "count":
        low, high = one.possible_count
        return source.randint(low, min(high, low + 11))
    dimension = next(iter(one.words))
    low, high = one.usual.get(dimension) or one.form.possible[dimension]
    value = source.uniform(low, high)
    if dimension in ("ratio", "octane") or not any(unit for unit in DIMENSIONS[dimension].units):
        return value
    unit = next(iter(DIMENSIONS[dimension].units.values()))
    return {"value": (value - unit.offset) / unit.factor, "unit": unit.text}
