"""One input moved over the values it can have, the rest of a build held: where a check stops it."""

from collections.abc import Mapping
from typing import NamedTuple

from service.advice.ladder import Ladder
from service.advice.search import farthest, nearest
from service.advice.trial import Trial
from service.evaluation.judging.judge import SEVERITY, Judgement
from service.evaluation.running.run import Figures
from service.rulebook.check import ScopeRule

# Rungs looked at between the ends when the build's own value is not given or will not do.
RUNGS_LOOKED_AT = 17
AS_ASSUMED: Mapping[str, float] = {}
WAYS = {"at_least": -1, "at_most": 1}


class Cause(NamedTuple):
    """The check that stops an input: it would be worse than allowed, or at the `edge` its model ends."""

    check: str
    edge: bool = False


class Stop(NamedTuple):
    """The last rung that will do, and what stops the next."""

    rung: int
    cause: Cause


class MovedInput:
    """The verdicts of the checks that depend on one input, rung by rung; `assumed` puts other assumptions
    in.
    """

    def __init__(self, trial: Trial, ladder: Ladder, checks: frozenset[str] | None = None):
        self.trial = trial
        self.ladder = ladder
        self.checks = self._judged(trial.depending()) if checks is None else checks
        self._by: dict[str, MovedInput] = {}
        self._stopped: dict[tuple[int, str, tuple[tuple[str, float], ...]], Cause | None] = {}

    def by(self, check: str) -> "MovedInput":
        """The same with one check alone."""
        if check not in self._by:
            self._by[check] = MovedInput(self.trial, self.ladder, frozenset({check}))
        return self._by[check]

    def _judged(self, depending: frozenset[str]) -> frozenset[str]:
        """Those that can be judged somewhere: what never can stops nothing."""
        changes = [{self.ladder.name: self.ladder.value(rung)} for rung in self.rungs()]
        return frozenset(
            check
            for figures in self.trial.figures(changes)
            for check, outcome in self.trial.outcomes(figures, depending)
            if isinstance(outcome, Judgement)
        )

    def stopped_by(self, rung: int, allowed: str, assumed: Mapping[str, float] = AS_ASSUMED) -> Cause | None:
        """The first check that a rung makes worse than allowed."""
        key = (rung, allowed, tuple(assumed.items()))
        if key not in self._stopped:
            change = {self.ladder.name: self.ladder.value(rung), **assumed}
            (figures,) = self.trial.figures([change])
            self._stopped[key] = self._cause(figures, allowed)
        return self._stopped[key]

    def _cause(self, figures: Figures, allowed: str) -> Cause | None:
        for check, outcome in self.trial.outcomes(figures, self.checks):
            if isinstance(outcome, Judgement):
                if SEVERITY[outcome.verdict] > SEVERITY[allowed]:
                    return Cause(check)
            elif isinstance(outcome, ScopeRule):
                # A model that another input ends is let be.
                if self.ladder.input.path in outcome.inputs:
                    return Cause(check, edge=True)
            elif outcome is not None:
                return Cause(check, edge=True)
        return None

    def start(self, allowed: str, assumed: Mapping[str, float] = AS_ASSUMED) -> int | None:
        """A rung that will do: the build's own value, else the nearest of those looked at."""
        return next((rung for rung in self.rungs() if self.stopped_by(rung, allowed, assumed) is None), None)

    def stop(
        self, start: int, way: str, allowed: str, assumed: Mapping[str, float] = AS_ASSUMED
    ) -> Stop | None:
        """How far it goes one way from a rung that will do; None where nothing stops it before the end."""
        step = WAYS[way]
        end = self.ladder.highest if step > 0 else self.ladder.lowest
        rung = farthest(start, end, lambda tried: self.stopped_by(tried, allowed, assumed) is None)
        if rung == end:
            return None
        cause = self.stopped_by(rung + step, allowed, assumed)
        assert cause is not None, "the rung past the last that will do is stopped by a check"
        return Stop(rung, cause)

    def nearest_back(
        self, rung: int, end: int, allowed: str, assumed: Mapping[str, float] = AS_ASSUMED
    ) -> int | None:
        """The nearest rung towards an end that will do; None where none does."""
        return nearest(rung, end, lambda tried: self.stopped_by(tried, allowed, assumed) is None)

    def rungs(self) -> list[int]:
        """The build's own value, then rungs spread over the ladder, the nearest first; without one, from the
        most.
        """
        ladder = self.ladder
        room, steps = ladder.highest - ladder.lowest, RUNGS_LOOKED_AT - 1
        spread = dict.fromkeys(ladder.lowest + room * part // steps for part in range(RUNGS_LOOKED_AT))
        start = ladder.highest if ladder.now is None else ladder.now
        ordered = sorted(spread, key=lambda rung: abs(rung - start))
        if ladder.now is not None and ladder.lowest <= round(ladder.now) <= ladder.highest:
            return list(dict.fromkeys([round(ladder.now), *ordered]))
        return ordered
