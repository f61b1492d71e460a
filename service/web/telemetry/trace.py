"""The trace a request belongs to: W3C Trace Context, version 00 and what later versions promise to keep."""

import re
import secrets

_TRACEPARENT = re.compile(
    r"(?!ff)([0-9a-f]{2})-(?!0{32})([0-9a-f]{32})-(?!0{16})[0-9a-f]{16}-[0-9a-f]{2}(-.*)?"
)


def trace_id(traceparent: str | None) -> str:
    """The trace id that was sent, or a new one where none was, or one that the standard calls invalid."""
    match = _TRACEPARENT.fullmatch(traceparent) if traceparent and len(traceparent) <= 512 else None
    # Version 00 ends with its flags.
    if match is None or (match[1] == "00" and match[3]):
        return secrets.token_hex(16)
    return match[2]
