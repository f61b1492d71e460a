"""What of a build the rules do not model: told by its choices and inputs, or by numbers once it is run."""

from service.evaluation.planning.resolve import Resolution
from service.rulebook.check import ScopeRule
from service.rulebook.names import identifier

Limits = list[tuple[str, float]]
"""Inputs, and the number each has to be above."""


class Scope:
    """The scope rules of one plan."""

    def __init__(self, resolution: Resolution):
        self.resolution = resolution
        rules = [rule for rule in resolution.rulebook.scope.values() if self._may_be_there(rule)]
        self.there = [rule for rule in rules if not rule.above]
        self._by_number = [rule for rule in rules if rule.above]

    def stops(self, check: str) -> ScopeRule | None:
        """The first rule that keeps a check from being judged, whatever the numbers are."""
        return next((rule for rule in self.there if rule.stops_check(check)), None)

    def beyond(self, check: str) -> list[tuple[ScopeRule, Limits]]:
        """The rules that keep a check from being judged where all of their numbers are passed."""
        return [
            (rule, [(guard.quantity, guard.number) for guard in rule.above])
            for rule in self._by_number
            if rule.stops_check(check)
        ]

    def _may_be_there(self, rule: ScopeRule) -> bool:
        numbers = (*rule.given, *(guard.quantity for guard in rule.above))
        return self.resolution.holds(rule.when) and all(self._given(path) for path in numbers)

    def _given(self, path: str) -> bool:
        words = self.resolution.rulebook.inputs[path].words.values()
        names = {identifier(word) for word in words} or {identifier(path)}
        return path in self.resolution.choices or not names.isdisjoint(self.resolution.given)
