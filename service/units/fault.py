"""What is wrong with a value of a client, in words of our own."""

from typing import NamedTuple

LONGEST_TEXT = 64


class Fault(NamedTuple):
    """What is wrong with a value, what would fit, and the probable right form; `options` where several are as
    probable.
    """

    code: str
    detail: str
    expected: str | None = None
    suggestion: str | None = None
    options: tuple[str, ...] = ()
