"""What a higher floor works out once for a thing of a lower one, kept with that thing and gone with it."""

from collections.abc import Callable
from typing import TypeVar

Thing = TypeVar("Thing")


class Kept:
    """One thing of each type; the lower floor holds them without knowing what they are, so imports point
    down.
    """

    __slots__ = ("_things",)

    def __init__(self) -> None:
        self._things: dict[type, object] = {}

    def once(self, kind: type[Thing], make: Callable[[], Thing]) -> Thing:
        """The thing of this type, made when first asked for; two threads may make it twice, and one of them
        counts.
        """
        thing = self._things.get(kind)
        if isinstance(thing, kind):
            return thing
        fresh = self._things[kind] = make()
        return fresh
