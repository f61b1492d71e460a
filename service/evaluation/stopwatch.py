"""Time by phase, for the log and the metrics; nothing of it enters an answer."""

from time import perf_counter


class Stopwatch:
    """Each lap ends the phase it names; the next phase starts there."""

    __slots__ = ("_last", "phases", "started")

    def __init__(self) -> None:
        self.started = self._last = perf_counter()
        self.phases: dict[str, float] = {}

    def lap(self, phase: str) -> None:
        now = perf_counter()
        self.phases[phase] = self.phases.get(phase, 0.0) + now - self._last
        self._last = now

    def total(self) -> float:
        return perf_counter() - self.started
