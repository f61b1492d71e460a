"""The trace a request belongs to: W3C Trace Context, version 00 and what later versions promise to keep."""

import re
import secrets
from typing import NamedTuple

_TRACEPARENT = re.compile(
    r"(?!ff)([0-9a-f]{2})-(?!0{32})([0-9a-f]{32})-((?!0{16})[0-9a-f]{16})-([0-9a-f]{2})(-.*)?"
)


class Parent(NamedTuple):
    """What the caller's header says, each in hexadecimal digits."""

    trace: str
    span: str
    flags: str


def parent_of(traceparent: str | None) -> Parent | None:
    """The caller's span; None where none was sent, or one that the standard calls invalid."""
    match = _TRACEPARENT.fullmatch(traceparent) if traceparent and len(traceparent) <= 512 else None
    # Version 00 ends with its flags.
    if match is None or (match[1] == "00" and match[5]):
        return None
    return Parent(match[2], match[3], match[4])


def trace_id(traceparent: str | None) -> str:
    """The trace id that was sent, or a new one."""
    parent = parent_of(traceparent)
    return parent.trace if parent else secrets.token_hex(16)
