"""Colour where a terminal shows it; words carry the meaning all the same."""

import os
import sys

CODES = {"fail": "31", "warn": "33", "pass": "32"}


class Paint:
    """Paints text, or leaves it as it is."""

    def __init__(self, on: bool):
        self.on = on

    def verdict(self, verdict: str, text: str) -> str:
        return self._painted(CODES.get(verdict, "1"), text)

    def strong(self, text: str) -> str:
        return self._painted("1", text)

    def faint(self, text: str) -> str:
        return self._painted("2", text)

    def _painted(self, code: str, text: str) -> str:
        return f"\033[{code}m{text}\033[0m" if self.on else text


def paint_for_terminal() -> Paint:
    """Colour on a terminal, unless NO_COLOR asks for none."""
    return Paint(sys.stdout.isatty() and not os.environ.get("NO_COLOR"))
