"""How far each input can move, the others held, before the verdict changes."""

from dataclasses import dataclass

from service.advice.ladder import Ladder, ladder_of
from service.advice.search import farthest
from service.advice.trial import Trial
from service.errors import SpecError, SpecFault
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known
from service.evaluation.reporting.sentences import lower

# Rungs looked at between the ends when the build's own value is not given or will not do.
RUNGS_LOOKED_AT = 17
MOST_INPUTS = 24


@dataclass(frozen=True, slots=True)
class LimitsRequest:
    """A build, the inputs to move (the levers it gives where none is named), the worst verdict allowed."""

    build: dict
    inputs: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    verdict: str | None = None
    units: str = "metric"


def limits(evaluator: Evaluator, request: LimitsRequest) -> dict:
    """For each input the least and the most that keep the verdict, and the check that stops it there."""
    known = evaluator.reader.read(request.build)
    rulebook = evaluator.rulebook
    own = Trial(evaluator, known, request.checks, {})
    verdicts = own.verdicts_of(own.base, {})
    now = max(verdicts.values(), key=SEVERITY.__getitem__, default="not_checked")
    allowed = request.verdict or ("pass" if now == "pass" else "warn")
    moved = [
        _Limit(evaluator, known, request, allowed, ladder)
        for ladder in _ladders(evaluator, request, known, verdicts)
    ]
    leans = {lean.id: lean for limit in moved for lean in limit.trial.plan.leans}
    return {
        "verdict": now,
        "keeps": allowed,
        "limits": [limit.answer() for limit in moved],
        "understood": [{"input": path, "text": text} for path, text in known.understood],
        "assumptions": evaluator.reporter.assumptions(list(leans.values()), request.units, full=False),
        "rulebook": evaluator.reporter.identity,
        "service": rulebook.version,
    }


def _ladders(
    evaluator: Evaluator, request: LimitsRequest, known: Known, verdicts: dict[str, str]
) -> list[Ladder]:
    rulebook = evaluator.rulebook
    if not request.inputs:
        levers = dict.fromkeys(path for id in verdicts for path in rulebook.checks[id].levers)
        ladders = (ladder_of(rulebook, path, known, request.units) for path in levers)
        return [ladder for ladder in ladders if ladder and ladder.now is not None][:MOST_INPUTS]
    ladders, faults = [], []
    for position, path in enumerate(request.inputs):
        ladder = ladder_of(rulebook, path, known, request.units)
        if ladder is None:
            movable = ", ".join(one.path for one in rulebook.inputs.values() if one.steps)
            faults.append(
                SpecFault(
                    f"/inputs/{position}",
                    "not-movable",
                    f"{rulebook.inputs[path].label} is no number with a step to move it by.",
                    movable,
                )
            )
        else:
            ladders.append(ladder)
    if faults:
        raise SpecError(faults)
    return ladders


class _Limit:
    """The limits of one input."""

    def __init__(
        self, evaluator: Evaluator, known: Known, request: LimitsRequest, allowed: str, ladder: Ladder
    ):
        self.rulebook = evaluator.rulebook
        self.allowed = allowed
        self.ladder = ladder
        self.trial = Trial(evaluator, known, request.checks, {ladder.name: ladder.value(ladder.highest)})
        self.seen: dict[int, str | None] = {}

    def stopped_by(self, rung: int) -> str | None:
        """The first check that a rung makes worse than allowed."""
        if rung not in self.seen:
            verdicts = self.trial.verdicts({self.ladder.name: self.ladder.value(rung)}, until=self.allowed)
            self.seen[rung] = next(
                (id for id, verdict in verdicts.items() if SEVERITY[verdict] > SEVERITY[self.allowed]), None
            )
        return self.seen[rung]

    def will_do(self, rung: int) -> bool:
        return self.stopped_by(rung) is None

    def answer(self) -> dict:
        ladder = self.ladder
        made: dict = {"input": ladder.input.path, "label": ladder.input.label}
        if ladder.now is not None:
            made["now"] = f"{ladder.now * ladder.step:.4g} {ladder.unit}".rstrip()
        start = self._start()
        if start is None:
            stopped = self.stopped_by(self._rungs()[0])
            made["text"] = (
                f"No {lower(ladder.input.label)} between {ladder.text(ladder.lowest)} and {ladder.text(ladder.highest)} will do, because of {self._title(stopped)}."
            )
            made["stopped_by"] = stopped
            return made
        least, most = (
            farthest(start, ladder.lowest, self.will_do),
            farthest(start, ladder.highest, self.will_do),
        )
        parts = []
        for key, word, rung, end, beyond in (
            ("at_least", "at least", least, ladder.lowest, -1),
            ("at_most", "at most", most, ladder.highest, 1),
        ):
            if rung != end:
                stopped = self.stopped_by(rung + beyond)
                made[key] = {"text": ladder.text(rung), "set": ladder.json(rung), "stopped_by": stopped}
                parts.append(f"{word} {ladder.text(rung)}, stopped by {self._title(stopped)}")
        made["text"] = (
            f"{ladder.input.label}: {'; '.join(parts)}."
            if parts
            else f"{ladder.input.label}: nothing found to limit it between {ladder.text(ladder.lowest)} and {ladder.text(ladder.highest)}."
        )
        return made

    def _start(self) -> int | None:
        """A rung that will do: the one at the build's own value, else the nearest of those looked at."""
        if (
            self.ladder.now is not None
            and self.ladder.lowest <= (own := round(self.ladder.now)) <= self.ladder.highest
            and self.will_do(own)
        ):
            return own
        return next((rung for rung in self._rungs() if self.will_do(rung)), None)

    def _rungs(self) -> list[int]:
        """Rungs spread over the ladder, those nearest to the build's own value first; without one, from the most."""
        ladder = self.ladder
        room = ladder.highest - ladder.lowest
        spread = dict.fromkeys(
            ladder.lowest + room * part // (RUNGS_LOOKED_AT - 1) for part in range(RUNGS_LOOKED_AT)
        )
        return sorted(
            spread, key=lambda rung: abs(rung - (ladder.highest if ladder.now is None else ladder.now))
        )

    def _title(self, id: str) -> str:
        return lower(self.rulebook.checks[id].title)
