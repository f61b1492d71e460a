"""What a build needs of one kind of part: the size that passes, the one that just does not fail, the next one
sold.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from service.advice.ladder import Ladder, ladder_of, ladder_of_sizes
from service.advice.limit_range import LimitRange, limit_range
from service.advice.limit_words import Limit, LimitWords
from service.advice.moved_input import MovedInput, Stop
from service.advice.trial import Trial
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known
from service.evaluation.planning.lean import Lean
from service.evaluation.planning.plan import NotChecked
from service.evaluation.reporting.sentences import lower
from service.json_object import JsonObject
from service.rulebook.input import UNKNOWN
from service.rulebook.slot import Slot

# Where a check moves its lever to pass.
WAY_OF_LEVER = {"at_least": "up", "at_most": "down"}
OWN_PART = {
    "pass": "Yours, {now}, is enough.",
    "warn": "Yours, {now}, is borderline.",
    "fail": "Yours, {now}, is not enough.",
}


@dataclass(slots=True)
class Requirement:
    """One line of a shopping list: its words, its name in a sentence, what decides it, what would open it."""

    words: JsonObject
    phrase: str = ""
    leans: list[Lean] = field(default_factory=list)
    asks: list[str] = field(default_factory=list)
    sentences: list[str] = field(default_factory=list)

    def say(self, sentences: list[str]) -> None:
        """The requirement in words, whole and sentence by sentence."""
        self.sentences = sentences
        self.words["text"] = " ".join(sentences)

    @property
    def needed(self) -> bool:
        """Whether there is something to order."""
        return self.words["state"] == "needed" and self.words.get("verdict") != "pass"

    @property
    def outgrown(self) -> bool:
        """Whether what the build has is not enough."""
        return self.words.get("verdict") == "fail"


class RequirementFinder:
    """Finds what one build needs; `allow` is the worst verdict that a part may leave."""

    def __init__(self, evaluator: Evaluator, known: Known, allow: str, units: str):
        self.evaluator = evaluator
        self.rulebook = evaluator.rulebook
        self.known = known
        self.allow = allow
        self.units = units

    def has(self, slot: Slot) -> bool:
        """Whether such a build has such a part."""
        return all(self.known.choices.get(choice, UNKNOWN) in words for choice, words in slot.when.items())

    def find(self, slot: Slot, path: str, way: str) -> Requirement | None:
        """The requirement on one size of a part; None where no check asks for it."""
        ladder = ladder_of(self.rulebook, path, self.known, self.units)
        if ladder is None:
            return None
        trial = Trial(self.evaluator, self.known, (), {ladder.name: ladder.value(ladder.highest)})
        asking = frozenset(check for check in trial.depending() if self._asks(check, path, way))
        moved = MovedInput(trial, ladder, MovedInput(trial, ladder).checks & asking)
        found = Requirement({"slot": slot.name, "input": path, "label": slot.label})
        if not moved.checks:
            return self._not_judged(found, trial, path, way)
        return self._sized(found, moved, way)

    def _asks(self, check: str, path: str, way: str) -> bool:
        return self.rulebook.checks[check].levers.get(path) == WAY_OF_LEVER[way]

    def _not_judged(self, found: Requirement, trial: Trial, path: str, way: str) -> Requirement | None:
        waiting = [
            entry for entry in trial.plan.not_checked if entry.needs and self._asks(entry.check, path, way)
        ]
        if not waiting:
            return None
        nearest = min(waiting, key=lambda entry: len(entry.needs))
        found.words |= {
            "state": "not_judged",
            "checks": [entry.check for entry in waiting],
            "needs": [_needs(entry) for entry in waiting],
        }
        found.say([f"To size it I need the {self._needed(nearest)}."])
        found.asks = [group[0] for group in nearest.needs]
        return found

    def _needed(self, entry: NotChecked) -> str:
        labels = dict.fromkeys(lower(self.rulebook.inputs[group[0]].label) for group in entry.needs)
        return " and the ".join(list(labels)[:2])

    def _sized(self, found: Requirement, moved: MovedInput, way: str) -> Requirement | None:
        unsaid = self.evaluator.reporter.questions.unsaid(moved.trial.plan)
        words = LimitWords(self.evaluator.writer, moved.ladder, unsaid)
        need, edge = self._stop(moved, way, self.allow), self._stop(moved, way, "warn")
        found.words["checks"] = [check for check in self.rulebook.checks if check in moved.checks]
        if need is None and moved.start(self.allow) is not None:
            return None
        always_warns = need is None and edge is not None
        allowed = "warn" if always_warns else self.allow
        need = need or edge
        if need is None:
            cause = moved.stopped_by(moved.rungs()[0], self.allow)
            assert cause is not None, "a rung that will not do is stopped by a check"
            found.words["state"] = "none_will_do"
            found.say([words.none_will_do(cause)])
            return found
        limit = Limit(need, limit_range(moved, need, way, allowed))
        found.words |= {"state": "needed", "need": {way: words.limit(limit)}}
        if edge and not always_warns and self.allow != "warn":
            # Nobody orders by it, so its range is not worth its cost.
            found.words["edge"] = {way: words.limit(Limit(edge, LimitRange(edge.rung, edge.rung, None)))}
        self._what_decides(found, limit, unsaid)
        sentences = [f"{_at(way, moved.ladder.text(need.rung))}{words.condition(limit)}."]
        sentences += ["Even then a warning stays."] if always_warns else []
        sentences += self._next_size(found, moved.ladder, need.rung, way) + self._own(found, moved)
        found.say(sentences)
        return found

    def _stop(self, moved: MovedInput, way: str, allowed: str) -> Stop | None:
        start = moved.start(allowed)
        return moved.stop(start, way, allowed) if start is not None else None

    def _what_decides(self, found: Requirement, need: Limit, unsaid: dict[str, str]) -> None:
        if need.range.decided_by:
            lean = need.range.decided_by.lean
            found.leans = [lean]
            if lean.input and not lean.stated:
                found.asks = [unsaid.get(lean.input, lean.input)]
                found.words["depends_on"] = found.asks

    def _next_size(self, found: Requirement, ladder: Ladder, needed: int, way: str) -> list[str]:
        """The next size that is sold, and how the list names it."""
        value = ladder.value(needed)
        sizes = ladder_of_sizes(self.rulebook, ladder.input.path, self.known, self.units)
        told = ladder.text(needed)
        sentences = []
        if sizes and sizes.sizes:
            rungs: Sequence[int] = range(sizes.lowest, sizes.highest + 1)
            will_do = [rung for rung in rungs if _holds(way, sizes.value(rung), value)]
            if will_do:
                rung = will_do[0] if way == "at_least" else will_do[-1]
                found.words["next_size"] = sizes.measure(rung) | {"set": sizes.json(rung)}
                told = sizes.text(rung)
                sentences.append(f"The next size sold is {told}.")
            else:
                sentences.append("No usual size is enough.")
        found.phrase = ladder.input.remedy.replace("{value}", told)
        return sentences

    def _own(self, found: Requirement, moved: MovedInput) -> list[str]:
        """What the build has already, and whether that is enough."""
        now = moved.ladder.text_now()
        if now is None:
            return []
        verdicts = Trial(self.evaluator, self.known, (), {}).base_verdicts()
        worst = max((verdicts[check] for check in moved.checks & verdicts.keys()), key=SEVERITY.__getitem__)
        found.words |= {"have": now, "verdict": worst}
        return [OWN_PART[worst].format(now=now)]


def _needs(entry: NotChecked) -> JsonObject:
    return {"check": entry.check, "needs": [list(group) for group in entry.needs]}


def _at(way: str, text: str) -> str:
    return f"{text} or {'more' if way == 'at_least' else 'less'}"


def _holds(way: str, value: float, needed: float) -> bool:
    slack = 1e-9 * abs(needed)
    return value >= needed - slack if way == "at_least" else value <= needed + slack
