"""A selection in words: what sets cost, how they differ, and a headline."""

from typing import NamedTuple

from service.catalog.catalog import Catalog
from service.catalog.part import Part
from service.evaluation.evaluate import Evaluator
from service.evaluation.many import Outcomes
from service.evaluation.reporting.brevity import within, words_in
from service.evaluation.reporting.headline import MOST_WORDS
from service.evaluation.reporting.sentences import lower

# What the best set is best at, for one part and for several.
BEST = {
    "cheapest": ("Cheapest that will do", "The cheapest set that will do"),
    "widest_margin": ("With the most in hand", "The set with the most in hand"),
    "fewest_changes": ("With the fewest changes", "The set with the fewest changes"),
}


class SetOfParts(NamedTuple):
    """Parts of the open slots, and what the whole build comes to with them."""

    parts: list[Part]
    outcomes: Outcomes

    @property
    def price(self) -> int:
        return sum(part.price for part in self.parts)

    @property
    def warns(self) -> list[str]:
        return [outcome.check for outcome in self.outcomes.checks if outcome.verdict == "warn"]


class SetWords:
    """Words for the sets of one selection."""

    def __init__(self, evaluator: Evaluator, catalog: Catalog):
        self.checks = evaluator.rulebook.checks
        self.catalog = catalog

    def first(self, best: SetOfParts) -> str:
        """What a set costs, and what stays to be watched."""
        return f"{self.catalog.money(best.price)} in all. {self._warnings('Warnings about', best.warns)}"

    def other(self, other: SetOfParts, best: SetOfParts) -> str:
        """How a set differs from the best one."""
        more = other.price - best.price
        cost = (
            f"{self.catalog.money(abs(more))} {'more' if more > 0 else 'less'}" if more else "The same price"
        )
        swapped = [
            f"{part.number} instead of {base.number}"
            for part, base in zip(other.parts, best.parts, strict=True)
            if part.number != base.number
        ]
        gone = [check for check in best.warns if check not in other.warns]
        new = [check for check in other.warns if check not in best.warns]
        sentences = [f"{cost}: {', '.join(swapped)}."]
        if gone:
            sentences.append(self._warnings("No more warning about", gone))
        if new:
            sentences.append(self._warnings("Also a warning about", new))
        if not gone and not new:
            sentences.append("The same verdicts.")
        return " ".join(sentences)

    def _warnings(self, start: str, checks: list[str]) -> str:
        if not checks:
            return "Everything that could be judged passes."
        *others, last = [f"the {lower(self.checks[check].short)}" for check in checks]
        return f"{start} {', '.join(others)} and {last}." if others else f"{start} {last}."

    def headline(self, objective: str, best: SetOfParts, sentences: list[str], proved: bool) -> str:
        """The best set in one breath; of a single part what it is and does."""
        one, several = (
            best_at if proved else f"{best_at}, of those looked at" for best_at in BEST[objective]
        )
        if len(best.parts) == 1:
            (part,) = best.parts
            start = f"{one}: {part.number}, {self.catalog.money(part.price)}, {part.stock} in stock."
        else:
            start = f"{several}{'' if proved else ','} costs {self.catalog.money(best.price)}."
        count = len(best.warns)
        left = f"{count} warning{'s stay' if count > 1 else ' stays'}." if count else ""
        passes = "" if count else "Everything that could be judged passes."
        told = sentences if len(best.parts) == 1 else []
        return within([start, *told, left, passes], MOST_WORDS)

    def none(self, broken: list[str], proved: bool) -> str:
        """Where no set will do; not `proved`: where none of those looked at will."""
        start = "No set will do" if proved else "Of the sets looked at none will do"
        if not broken and not proved:
            return f"{start}."
        if not broken:
            return "The parts in stock do not go together, or the cheapest of them are over the budget."
        *others, last = [self.checks[check].short for check in broken]
        named = f"{', the '.join(others)} and the {last}" if others else last
        sentence = f"{start}; the nearest still falls short on the {named}."
        if words_in(sentence) <= MOST_WORDS:
            return sentence
        return f"{start}; the nearest falls short on {len(broken)} checks."
