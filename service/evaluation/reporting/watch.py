"""What to watch at a moment: the checks' own values and fail limits, then what belongs to no check."""

from dataclasses import replace

from service.evaluation.judging.judge import JudgedCheck
from service.evaluation.reporting.sentences import Place, Writer, say
from service.evaluation.running.run import Run
from service.json_object import JsonObject
from service.rulebook.check import Watch
from service.rulebook.files.text import Sentence


class WatchWriter:
    """Writes what to watch, for one rulebook."""

    def __init__(self, writer: Writer):
        self.rulebook = writer.rulebook
        self.writer = writer

    def items(self, judged: list[JudgedCheck], moment: str, run: Run, system: str) -> list[JsonObject]:
        """One item a signal: what to expect, where to stop."""
        items = []
        for judged_check in judged:
            signal = judged_check.plan.check.watch
            if signal and moment in signal.moments:
                items.append(self._of_check(judged_check, signal, run, system))
        for signal in self.rulebook.moments[moment].watch:
            place = Place(None, None, system)
            texts = [
                say([self.writer.prepare(sentence, run.plan, place)], run.figures) if sentence else ""
                for sentence in (signal.expect, signal.stop_at)
            ]
            items.append(_item(signal, *texts))
        return [item for item in items if item]

    def _of_check(self, judged: JudgedCheck, signal: Watch, run: Run, system: str) -> JsonObject | None:
        judgement, check = judged.judgement, judged.plan.check
        place = Place(judgement.point, self.rulebook.identify(check.judges or "", judgement.point), system)
        # The limit that counted may be one on another quantity; the signal is the check's own.
        at_value = replace(judgement, value=run.values[judgement.point_plan.slot])

        def text(sentence: Sentence) -> str:
            return say([self.writer.prepare(sentence, run.plan, place)], run.figures, at_value)

        stop_at = text(signal.stop_at) if signal.stop_at else self._fail_limit(judged, run, system)
        return _item(signal, text(signal.expect), stop_at)

    def _fail_limit(self, judged: JudgedCheck, run: Run, system: str) -> str | None:
        """The check's fail limit on its own quantity, or its warn limit where it never fails."""
        point_plan = judged.judgement.point_plan
        for level in ("fail", "warn"):
            for limit in point_plan.limits:
                on_own_quantity = limit.level == level and limit.slot == point_plan.slot
                if on_own_quantity and limit.limit_slot not in run.failed:
                    name = self.rulebook.identify(limit.bound.judges, point_plan.point)
                    return self.writer.shower_of(name, system).text(limit.value(run.values))
        return None


def _item(signal: Watch, expect: str, stop_at: str | None) -> JsonObject | None:
    """None where one of the two cannot be told."""
    if not (expect and stop_at):
        return None
    return {"signal": signal.signal, "expect": expect, "stop_at": stop_at}
