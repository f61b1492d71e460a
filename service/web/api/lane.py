"""Room for long calls beside the short ones: too many at once are asked to come again, at once."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from threading import BoundedSemaphore
from typing import ParamSpec, TypeVar

from service.web.api.problem_codes import RETRY_AFTER
from service.web.api.problems import ProblemError

Given = ParamSpec("Given")
Made = TypeVar("Made")

# In each process; the other threads are for short calls.
MOST_LONG = 1


class BusyError(ProblemError):
    """Nothing is wrong with the request; it has to come again."""

    def __init__(self, detail: str):
        super().__init__(503, "busy", detail, "Every call is safe to repeat.")
        self.headers = {"Retry-After": RETRY_AFTER}


class Lane:
    """Places for calls of one kind."""

    def __init__(self, places: int):
        self._places = BoundedSemaphore(places)

    @contextmanager
    def place(self) -> Iterator[None]:
        """A place for as long as a call takes; BusyError where all are taken."""
        if not self._places.acquire(blocking=False):
            raise BusyError("There are too many long calls at once.")
        try:
            yield
        finally:
            self._places.release()


def in_lane(lane: Lane, work: Callable[Given, Made]) -> Callable[Given, Made]:
    """The same work, with a place in a lane for as long as it takes."""

    @wraps(work)
    def placed(*given: Given.args, **named: Given.kwargs) -> Made:
        with lane.place():
            return work(*given, **named)

    return placed


LONG_CALLS = Lane(MOST_LONG)
