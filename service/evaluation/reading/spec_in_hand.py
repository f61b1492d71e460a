"""One spec while it is read."""

from collections.abc import Callable

from service.errors import SpecFault
from service.evaluation.known import Known
from service.rulebook.input import Input
from service.units.fault import Fault

MAX_FAULTS = 50


class SpecInHand:
    """What has been read so far, what was wrong with it, and the places that units named (whp: at the
    wheels).
    """

    __slots__ = ("faults", "known", "most", "places")

    def __init__(self, most: int):
        self.most = most
        self.known = Known()
        self.faults: list[SpecFault] = []
        self.places: list[tuple[Input, str]] = []

    @property
    def full(self) -> bool:
        """Whether as many faults are named as one answer holds; looking for more would only cost time."""
        return len(self.faults) >= self.most

    def fault(self, pointer: str, fault: Fault) -> None:
        """Notes what is wrong at a place of the request."""
        if not self.full:
            self.faults.append(SpecFault(pointer, *fault))


# Takes the JSON value of one field.
Reader = Callable[[object, SpecInHand], None]


def pointer_of(field: Input) -> str:
    """Where a field stands in a request."""
    return f"/build/{field.path.replace('.', '/')}"
