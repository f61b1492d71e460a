"""How far each input can move, the others held, before the verdict changes."""

from dataclasses import dataclass
from typing import NamedTuple

from service.advice.ladder import Ladder, ladder_of
from service.advice.search import farthest
from service.advice.trial import Trial
from service.errors import SpecError, SpecFault
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known
from service.evaluation.reporting.sentences import lower
from service.json_object import JsonObject
from service.rulebook.rulebook import Rulebook

# Rungs looked at between the ends when the build's own value is not given or will not do.
RUNGS_LOOKED_AT = 17
MOST_INPUTS = 24


@dataclass(frozen=True, slots=True)
class LimitsRequest:
    """A build, the inputs to move (the levers it gives where none is named), the worst verdict allowed."""

    build: JsonObject
    inputs: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    verdict: str | None = None
    units: str = "metric"


def limits(evaluator: Evaluator, request: LimitsRequest) -> JsonObject:
    """For each input the least and the most that keep the verdict, and the check that stops it there."""
    known = evaluator.reader.read(request.build)
    verdicts = Trial(evaluator, known, request.checks, {}).base_verdicts()
    now = max(verdicts.values(), key=SEVERITY.__getitem__, default="not_checked")
    allowed = request.verdict or ("pass" if now == "pass" else "warn")
    answers, leans = [], {}
    for ladder in _ladders(evaluator.rulebook, request, known, list(verdicts)):
        farthest_value = {ladder.name: ladder.value(ladder.highest)}
        trial = Trial(evaluator, known, request.checks, farthest_value)
        answers.append(_MovedInput(evaluator.rulebook, trial, ladder, allowed).answer())
        leans.update({lean.id: lean for lean in trial.plan.leans})
    return {
        "verdict": now,
        "keeps": allowed,
        "limits": answers,
        "understood": [{"input": path, "text": text} for path, text in known.understood],
        "assumptions": evaluator.reporter.assumptions.listed(list(leans.values()), request.units, full=False),
        "rulebook": evaluator.reporter.identity,
        "service": evaluator.rulebook.version,
    }


def _ladders(rulebook: Rulebook, request: LimitsRequest, known: Known, judged: list[str]) -> list[Ladder]:
    """The inputs to move: those asked for, else the levers of the checks judged that the build gives."""
    if not request.inputs:
        levers = dict.fromkeys(path for id in judged for path in rulebook.checks[id].levers)
        given = (ladder_of(rulebook, path, known, request.units) for path in levers)
        return [ladder for ladder in given if ladder and ladder.now is not None][:MOST_INPUTS]
    ladders = {path: ladder_of(rulebook, path, known, request.units) for path in request.inputs}
    movable = ", ".join(field.path for field in rulebook.inputs.values() if field.steps)
    faults = [
        SpecFault(
            f"/inputs/{position}",
            "not-movable",
            f"{rulebook.inputs[path].label} is no number with a step to move it by.",
            movable,
        )
        for position, path in enumerate(request.inputs)
        if ladders[path] is None
    ]
    if faults:
        raise SpecError(faults)
    return [ladder for path in request.inputs if (ladder := ladders[path])]


class _Stop(NamedTuple):
    """The check that stops an input: it would be worse than allowed, or its model ends there."""

    check: str
    edge: bool = False


class _MovedInput:
    """The limits of one input."""

    def __init__(self, rulebook: Rulebook, trial: Trial, ladder: Ladder, allowed: str):
        self.rulebook = rulebook
        self.trial = trial
        self.ladder = ladder
        self.allowed = allowed
        self.tried: dict[int, _Stop | None] = {}

    def stopped_by(self, rung: int) -> _Stop | None:
        """The first check that a rung makes worse than allowed, or takes out of what is modelled."""
        if rung not in self.tried:
            values = {self.ladder.name: self.ladder.value(rung)}
            verdicts = self.trial.verdicts(values, until=self.allowed)
            worse = (
                _Stop(id) for id, verdict in verdicts.items() if SEVERITY[verdict] > SEVERITY[self.allowed]
            )
            self.tried[rung] = next(worse, None) or self._edge(values)
        return self.tried[rung]

    def _edge(self, values: dict[str, float]) -> _Stop | None:
        """The first check whose model ends short of this value; one that another input ends is let be."""
        path = self.ladder.input.path
        outside = self.trial.outside(values).items()
        return next((_Stop(id, edge=True) for id, rule in outside if path in rule.inputs), None)

    def will_do(self, rung: int) -> bool:
        return self.stopped_by(rung) is None

    def answer(self) -> JsonObject:
        """How far the input can move each way."""
        ladder = self.ladder
        words: JsonObject = {"input": ladder.input.path, "label": ladder.input.label}
        if ladder.now is not None:
            words["now"] = ladder.text_now()
        start = self._start()
        if start is None:
            return words | self._nothing_will_do()
        parts = []
        for key, end, beyond in (("at_least", ladder.lowest, -1), ("at_most", ladder.highest, 1)):
            rung = farthest(start, end, self.will_do)
            if rung != end:
                stop = self._stop(rung + beyond)
                words[key] = {"text": ladder.text(rung), "set": ladder.json(rung), "stopped_by": stop.check}
                parts.append(f"{key.replace('_', ' ')} {ladder.text(rung)}, {self._reason(stop)}")
        label, between = ladder.input.label, self._between_ends()
        text = f"{label}: {'; '.join(parts)}." if parts else f"{label}: nothing found to limit it {between}."
        return words | {"text": text}

    def _nothing_will_do(self) -> JsonObject:
        stop = self._stop(self._rungs()[0])
        label = lower(self.ladder.input.label)
        text = f"No {label} {self._between_ends()} will do, because of {self._title(stop)}."
        return {"text": text, "stopped_by": stop.check}

    def _between_ends(self) -> str:
        return f"between {self.ladder.text(self.ladder.lowest)} and {self.ladder.text(self.ladder.highest)}"

    def _start(self) -> int | None:
        """A rung that will do: the one at the build's own value, else the nearest of those looked at."""
        ladder = self.ladder
        if ladder.now is not None:
            present = round(ladder.now)
            if ladder.lowest <= present <= ladder.highest and self.will_do(present):
                return present
        return next((rung for rung in self._rungs() if self.will_do(rung)), None)

    def _rungs(self) -> list[int]:
        """Rungs spread over the ladder, those nearest to the build's own value first; without one, from the
        most.
        """
        ladder = self.ladder
        room, steps = ladder.highest - ladder.lowest, RUNGS_LOOKED_AT - 1
        spread = dict.fromkeys(ladder.lowest + room * part // steps for part in range(RUNGS_LOOKED_AT))
        start = ladder.highest if ladder.now is None else ladder.now
        return sorted(spread, key=lambda rung: abs(rung - start))

    def _stop(self, rung: int) -> _Stop:
        stop = self.stopped_by(rung)
        assert stop is not None, "a rung that will not do is stopped by a check"
        return stop

    def _reason(self, stop: _Stop) -> str:
        if stop.edge:
            return f"the edge of what is modelled for {self._title(stop)}"
        return f"stopped by {self._title(stop)}"

    def _title(self, stop: _Stop) -> str:
        return lower(self.rulebook.checks[stop.check].title)
