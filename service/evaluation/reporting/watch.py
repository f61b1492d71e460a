"""What to watch at a moment: the checks' own values and fail limits, then what belongs to no check."""

from dataclasses import replace

from service.evaluation.judging.judge import Judgement
from service.evaluation.planning.plan import CheckPlan, Judged, Plan
from service.evaluation.reporting.sentences import Writer, say
from service.rulebook.rulebook import Rulebook


def watch(
    rulebook: Rulebook,
    writer: Writer,
    plan: Plan,
    judged: list[tuple[CheckPlan, Judgement]],
    moment: str,
    system: str,
    values: list,
    failed: dict[int, int],
) -> list[dict]:
    """One item a signal: what to expect, where to stop."""
    items = []
    for one, made in judged:
        own = one.check.watch
        if own and moment in own.moments:
            name = rulebook.identify(one.check.judges, made.point)
            # The limit that counted may be one on another quantity; the signal is the check's own.
            signal = replace(made, value=values[made.slot])
            expect = say([writer.prepare(own.expect, plan, made.point, name, system)], values, failed, signal)
            stop_at = (
                say([writer.prepare(own.stop_at, plan, made.point, name, system)], values, failed, signal)
                if own.stop_at
                else _fail_limit(rulebook, writer, one, made, system, values, failed)
            )
            if expect and stop_at:
                items.append({"signal": own.signal, "expect": expect, "stop_at": stop_at})
    for own in rulebook.moments[moment].watch:
        texts = [
            say([writer.prepare(sentence, plan, None, None, system)], values, failed, None)
            for sentence in (own.expect, own.stop_at)
        ]
        if all(texts):
            items.append({"signal": own.signal, "expect": texts[0], "stop_at": texts[1]})
    return items


def _fail_limit(
    rulebook: Rulebook,
    writer: Writer,
    one: CheckPlan,
    made: Judgement,
    system: str,
    values: list,
    failed: dict[int, int],
) -> str | None:
    """The check's fail limit on its own quantity, or its warn limit where it never fails."""
    here: Judged = next(judged for judged in (*one.judged, *one.second) if judged.point == made.point)
    for level in ("fail", "warn"):
        for bound, slot, number, limit_slot in here.bounds.get(level, ()):
            if slot == here.slot and limit_slot not in failed:
                return writer.shower_of(rulebook.identify(bound.judges, made.point), system).text(
                    number if limit_slot is None else values[limit_slot]
                )
    return None
