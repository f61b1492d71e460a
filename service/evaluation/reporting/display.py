"""Numbers for people: display units, digits, and the {value, unit, text} of a reply."""

from functools import lru_cache

from service.rulebook.rulebook import Rulebook
from service.units.units import find_unit


class Shower:
    """Shows SI values in one unit with a number of significant digits."""

    __slots__ = ("unit", "factor", "offset", "_suffix", "_digits", "_whole_from")

    def __init__(self, dimension: str, unit: str, digits: int):
        found = find_unit(dimension, unit)
        self.unit = found.text
        self.factor = found.factor
        self.offset = found.offset
        self._suffix = f" {found.text}" if found.text else ""
        self._digits = f".{digits}g"
        self._whole_from = 10**digits - 0.5

    def text(self, value: float) -> str:
        """'402 lb-ft': rounded for people."""
        return self._plain((value - self.offset) / self.factor) + self._suffix

    def measure(self, value: float) -> dict:
        """The three forms of a number in a reply; the value is written to ten significant digits."""
        number = (value - self.offset) / self.factor
        return {"value": ten_digits(number), "unit": self.unit, "text": self._plain(number) + self._suffix}

    def _plain(self, number: float) -> str:
        """No exponent and no idle zeros; whole digits are never cut."""
        size = abs(number)
        if size >= self._whole_from:
            return f"{number:.0f}"
        if size >= 1e-4:
            return format(number, self._digits)
        return f"{number:.12f}".rstrip("0").rstrip(".") if size else "0"


def ten_digits(number: float) -> float:
    """The same on every machine: numpy and math may differ in the last bits."""
    return float(f"{number:.10g}")


class Display:
    """The showers of one rulebook, by dimension, system and unit asked for."""

    def __init__(self, rulebook: Rulebook):
        self._display = rulebook.display
        self.shower = lru_cache(maxsize=4096)(self._shower)

    def _shower(
        self, dimension: str, system: str, unit: str | None = None, digits: int | None = None
    ) -> Shower:
        shown = self._display[dimension]
        return Shower(dimension, unit if unit is not None else shown[system], digits or int(shown["digits"]))
