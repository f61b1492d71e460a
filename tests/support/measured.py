"""What a measuring command printed, kept in the README beside it under a heading of its own."""

import contextlib
import datetime
import io
import sys
from collections.abc import Iterator
from pathlib import Path


class Both(io.StringIO):
    """Prints what is written, and keeps it."""

    def write(self, text: str) -> int:
        sys.__stdout__.write(text)
        sys.__stdout__.flush()
        return super().write(text)


@contextlib.contextmanager
def kept_in(readme: Path, heading: str) -> Iterator[None]:
    """Everything printed meanwhile takes the place of what the heading held."""
    with contextlib.redirect_stdout(Both()) as printed:
        yield
    text = readme.read_text(encoding="utf-8")
    readme.write_text(with_block(text, heading, printed.getvalue()), encoding="utf-8")


def with_block(text: str, heading: str, printed: str) -> str:
    """The text with this block under the heading; a heading that is not there is added at the end."""
    block = f"### {heading}\n\n{datetime.date.today().isoformat()}\n\n```\n{printed.strip()}\n```\n"
    before, found, rest = text.partition(f"### {heading}\n")
    if not found:
        return f"{text.rstrip()}\n\n{block}"
    after = rest.partition("\n### ")
    return before + block + (f"\n### {after[2]}" if after[1] else "")
