"""Builds with some of their fields left out at random, so that each names others."""

import random
from collections.abc import Iterator


def with_less(build: dict, rng: random.Random, fields: int) -> dict:
    """The build without so many of its fields."""
    return _without(build, set(rng.sample(list(_paths(build)), fields)))


def _paths(group: dict, above: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    for name, value in group.items():
        if isinstance(value, dict):
            yield from _paths(value, (*above, name))
        else:
            yield (*above, name)


def _without(group: dict, left_out: set[tuple[str, ...]], above: tuple[str, ...] = ()) -> dict:
    kept = {}
    for name, value in group.items():
        path = (*above, name)
        if isinstance(value, dict):
            kept[name] = _without(value, left_out, path)
        elif path not in left_out:
            kept[name] = value
    return kept
