"""Numbers for people: display units, digits, and the {value, unit, text} of a reply."""

from functools import lru_cache

from service.json_object import JsonObject
from service.rulebook.rulebook import Rulebook
from service.units.signs import sign
from service.units.units import find_unit

# From a range this wide, in the unit shown, a tenth means nothing.
WIDE = 5
# Of a share a tenth of a percent means nothing.
PERCENT_DIGITS = 2


class Shower:
    """Shows SI values in one unit with a number of significant digits."""

    __slots__ = ("_digits", "_suffix", "_whole_from", "factor", "offset", "unit")

    def __init__(self, dimension: str, unit: str, digits: int):
        shown_in = find_unit(dimension, unit)
        assert shown_in is not None, f"{dimension} is shown in {unit!r}, which is no unit of it"
        self.unit = shown_in.text
        self.factor = shown_in.factor
        self.offset = shown_in.offset
        self._suffix = sign(shown_in.text)
        self._digits = f".{digits}g"
        self._whole_from = 10**digits - 0.5

    def text(self, value: float) -> str:
        """'402 lb-ft': rounded for people."""
        return self._plain(self.number(value)) + self._suffix

    def written(self, value: float) -> str:
        """'0.6 lb/hp/h': for arithmetic, in the plain spelling of the unit."""
        return f"{self._plain(self.number(value))} {self.unit}".rstrip()

    def number(self, value: float) -> float:
        """A value in the unit shown."""
        return (value - self.offset) / self.factor

    def measure(self, value: float) -> JsonObject:
        """The three forms of a number in a reply; the value is written to ten significant digits."""
        number = self.number(value)
        return {"value": ten_digits(number), "unit": self.unit, "text": self._plain(number) + self._suffix}

    def apart(self, value: float, limit: float) -> str:
        """A value beyond its limit, with as many digits as it takes not to read like the limit itself."""
        own, other = self.text(value), self.text(limit)
        number, reference = self.number(value), self.number(limit)
        for digits in range(1, MOST_DIGITS):
            if own != other:
                break
            own = f"{number:.{digits}f}{self._suffix}"
            other = f"{reference:.{digits}f}{self._suffix}"
        return own

    def between(self, low: float, high: float) -> str:
        """'74 to 90 %'."""
        start, end = self.number(low), self.number(high)
        if end - start >= WIDE:
            return f"{round(start)} to {round(end)}{self._suffix}"
        return f"{self._plain(start)} to {self._plain(end)}{self._suffix}"

    def _plain(self, number: float) -> str:
        """No exponent and no idle zeros; whole digits are never cut."""
        size = abs(number)
        if size >= self._whole_from:
            return f"{number:.0f}"
        if size >= 1e-4:
            return format(number, self._digits)
        return f"{number:.12f}".rstrip("0").rstrip(".") if size else "0"


# A value that differs from its limit by less than this shows is not beyond it either.
MOST_DIGITS = 10


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
        unit = unit if unit is not None else shown[system]
        return Shower(dimension, unit, digits or (PERCENT_DIGITS if unit == "%" else int(shown["digits"])))
