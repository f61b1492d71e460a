"""What one selection may spend on all its searches: counts, so the answer is the same on any machine."""

from dataclasses import dataclass

# Over the fixed catalog and ten times its parts, whole engines and kits aside, a selection takes a third of
# this at most (tests/benchmarks); all of it is some five seconds.
MOST_TRIED = 150
MOST_WAYS = 1_000_000
MOST_HELD = 120_000
MOST_SOLVING = 2.0
# A search for the nearest miss always has this much, or a set that is near could not be named.
LEAST_SOLVING = 0.1


@dataclass(slots=True)
class WorkLeft:
    """Sets proposed; ways out of boxes written into models; combinations of parts held against a check to
    find boxes; the solver's own measure of work, no clock.
    """

    sets: int = MOST_TRIED
    ways: int = MOST_WAYS
    held: int = MOST_HELD
    solving: float = MOST_SOLVING

    @property
    def spent(self) -> bool:
        """Whether no further set is to be looked for."""
        return self.sets <= 0 or self.ways <= 0 or self.held <= 0 or self.solving <= 0

    def solver_limit(self) -> float:
        """What the solver may spend on one set."""
        return max(self.solving, LEAST_SOLVING)

    def spend(self, ways: int, solving: float) -> None:
        """Takes off what one proposal took."""
        self.sets -= 1
        self.ways -= ways
        self.solving -= solving
