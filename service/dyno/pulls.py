"""Single pulls as numbers: their mean, their scatter, and how well the mean is known."""

from dataclasses import dataclass
from math import isfinite, sqrt
from statistics import fmean, stdev

from service.dyno.distributions import distributions

CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class Pulls:
    """Figures of one kind in SI, in the order they were made."""

    values: tuple[float, ...]

    def __post_init__(self) -> None:
        if not self.values or not all(isfinite(value) and value > 0 for value in self.values):
            raise ValueError("pulls are finite figures above zero, at least one")

    @property
    def mean(self) -> float:
        return fmean(self.values)

    @property
    def scatter(self) -> float | None:
        """Standard deviation of one pull; None of one pull alone."""
        return stdev(self.values) if len(self.values) > 1 else None

    def half_width(self, confidence: float = CONFIDENCE) -> float | None:
        """How far the mean may be off: t times s over root n (JCGM 100:2008, 4.2.3 and G.3); None of one pull
        alone.
        """
        if self.scatter is None:
            return None
        return (
            float(distributions().t.ppf((1 + confidence) / 2, len(self.values) - 1))
            * self.scatter
            / sqrt(len(self.values))
        )
