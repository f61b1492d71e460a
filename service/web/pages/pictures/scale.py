"""From figures to places on the paper, and the round figures that an axis names."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

# Round steps, as rulers have them.
_STEPS = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True)
class Scale:
    """Figures from `low` to `high` lie evenly from `start` to `end`."""

    low: float
    high: float
    start: float
    end: float

    def at(self, figure: float) -> float:
        """Where a figure lies."""
        if self.high == self.low:
            return (self.start + self.end) / 2
        share = (figure - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)


def ticks(low: float, high: float, most: int = 6) -> list[float]:
    """Round figures within a range, at most so many."""
    if not high > low:
        return [low]
    rough = (high - low) / most
    power = 10.0 ** floor(log10(rough))
    step = next(power * step for step in _STEPS if power * step >= rough * 0.999999)
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return [round(place * step, 10) for place in range(first, last + 1)]


def spanned(figures: Iterable[float | None], room: float = 0.08, *including: float) -> tuple[float, float]:
    """From the least to the greatest of them, with some room at both ends."""
    known = [figure for figure in (*figures, *including) if figure is not None]
    low, high = min(known), max(known)
    space = (high - low) * room or abs(high) * room or 1.0
    return low - space, high + space


def plain(figure: float) -> str:
    """A figure of an axis: `6500`, `0.25`."""
    return f"{figure:.10g}"


def runs(points: Sequence[tuple[float, float | None]]) -> list[list[tuple[float, float]]]:
    """Stretches without a gap: what cannot be worked out breaks a curve."""
    stretches: list[list[tuple[float, float]]] = [[]]
    for across, along in points:
        if along is None:
            stretches.append([])
        else:
            stretches[-1].append((across, along))
    return [stretch for stretch in stretches if stretch]
