"""Limits in words: how far it is comfortable, where it ends and why, and what decides that."""

from typing import NamedTuple

from service.advice.ladder import Ladder
from service.advice.limit_range import LimitRange, Shift
from service.advice.moved_input import Cause, Stop
from service.evaluation.planning.lean import Lean
from service.evaluation.reporting.sentences import Writer, lower
from service.json_object import JsonObject


class Limit(NamedTuple):
    """Where one input stops one way, with its range."""

    stop: Stop
    range: LimitRange


Sides = dict[str, Limit]
# Of the checks looked at, those named in a sentence.
CHECKS_TOLD = 3


class LimitWords:
    """Words for the limits of one input; `unsaid`: by input assumed, the choice not made that decides it."""

    def __init__(self, writer: Writer, ladder: Ladder, unsaid: dict[str, str]):
        self.rulebook = writer.rulebook
        self.ladder = ladder
        self.unsaid = unsaid

    def none_will_do(self, stopped: Cause) -> str:
        """Where no value will do."""
        label, between = lower(self.ladder.input.label), self._between_ends()
        return f"No {label} {between} is enough by itself: {self.reason(stopped)}."

    def free(self, checks: frozenset[str]) -> str:
        """Where nothing stops it: what was looked at is named."""
        shorts = [check.short for check in self.rulebook.checks.values() if check.id in checks]
        told = " and the ".join(shorts[:CHECKS_TOLD])
        return f"Nothing stops it {self._between_ends()}, judged by the {told}."

    def _between_ends(self) -> str:
        return f"from {self.ladder.text(self.ladder.lowest)} to {self.ladder.text(self.ladder.highest)}"

    def sides(self, sides: Sides) -> JsonObject:
        """`at_least` and `at_most` of one level."""
        return {way: self.limit(limit) for way, limit in sides.items()}

    def limit(self, limit: Limit) -> JsonObject:
        """One limit in a reply."""
        ladder, (low, high, *_) = self.ladder, limit.range
        words = ladder.measure(limit.stop.rung) | {"set": ladder.json(limit.stop.rung)}
        if low < high:
            words["range"] = {
                "low": ladder.measure(low)["value"],
                "high": ladder.measure(high)["value"],
                "unit": ladder.unit,
                "text": f"{ladder.plain(low)} to {ladder.text(high)}",
            }
        return words | {"stopped_by": limit.stop.cause.check}

    def sentences(self, comfortable: Sides, edge: Sides) -> list[str]:
        """Both levels in short sentences: where it ends and why, then where it is comfortable."""
        ways = dict.fromkeys([*edge, *comfortable])
        return [sentence for way in ways for sentence in self._way(way, comfortable.get(way), edge.get(way))]

    def _way(self, way: str, comfortable: Limit | None, edge: Limit | None) -> list[str]:
        told = edge or comfortable
        assert told is not None, "a way is told where something stops it"
        up = way == "at_most"
        reason = f"{'past that' if up else 'with less'} {self.reason(told.stop.cause)}"
        value = self.ladder.text(told.stop.rung)
        start = f"{'Up to' if up else 'At least'} {value}{self.condition(told)}; {reason}."
        if not edge or not comfortable or comfortable.stop.rung == edge.stop.rung:
            return [start]
        easy = self.ladder.text(comfortable.stop.rung)
        return [start, f"Comfortable {'up to' if up else 'from'} {easy}."]

    def reason(self, cause: Cause) -> str:
        check = self.rulebook.checks[cause.check]
        if cause.edge:
            return f"the {check.short} can no longer be judged"
        return check.beyond or f"the {check.short} gives out"

    def condition(self, limit: Limit) -> str:
        """The one assumption that decides: of a choice both numbers, else the range."""
        low, high, decided_by, otherwise = limit.range
        if decided_by and (says := self.rulebook.assumptions[decided_by.lean.id].says):
            return self._both(decided_by, says)
        if otherwise:
            phrase = self.rulebook.phrase(otherwise.choice, otherwise.word)
            return f" ({self.ladder.text(otherwise.rung)} with {phrase})"
        if low == high:
            return ""
        span = f" ({self.ladder.plain(low)} to {self.ladder.text(high)}"
        return f"{span}, depending on the {self._cause(decided_by.lean)})" if decided_by else f"{span})"

    def _cause(self, lean: Lean) -> str:
        """What decides, as people know it: the choice not made, the input not given, else the figure."""
        path = self.unsaid.get(lean.input or "", lean.input)
        if path and not lean.stated:
            return lower(self.rulebook.inputs[path].label)
        return lower(self.rulebook.assumptions[lean.id].label)

    def _both(self, shift: Shift, says: tuple[str, ...]) -> str:
        row = shift.lean.certain_row
        label = lower(self.rulebook.assumptions[shift.lean.id].label)
        other, rung = (says[0], shift.low) if round(row.typical) else (says[1], shift.high)
        taken = says[round(row.typical)]
        return f" with the {label} {taken}, {self.ladder.text(rung)} if {other}"
