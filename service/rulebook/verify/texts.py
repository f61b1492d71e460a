"""Sentences must always be sayable: placeholders name something, their units fit, a verdict's first sentence
is never cut.
"""

from collections.abc import Iterable
from typing import NamedTuple

from service.rulebook.check import Check, Watch
from service.rulebook.draft import Draft, Problems
from service.rulebook.files.section import instead
from service.rulebook.files.text import OWN_WORDS, Placeholder, Sentence
from service.rulebook.formulas.graph import Graph
from service.rulebook.names import ASSUMED, at_point, identifier
from service.rulebook.verify.certain import Certain
from service.units.units import DIMENSIONS, find_unit, offer


class Complaint(NamedTuple):
    """What is wrong with a placeholder, and what to do."""

    what: str
    fix: str


def verify_texts(draft: Draft, graph: Graph, problems: Problems) -> None:
    """Placeholders name something, their unit fits, and each verdict's first sentence can always be said."""
    certain = Certain(graph, set(draft.constants))
    for check in draft.checks.values():
        texts = _CheckTexts(check, draft, problems)
        texts.verify(certain)
        texts.watch()
    for moment in draft.moments.values():
        for item in moment.watch:
            for gap, line in _gaps(item):
                complaint = (
                    Complaint("belongs to a check.", "Name a quantity, or move the item into the check.")
                    if gap.name in OWN_WORDS
                    else _placeholder(gap, (), draft)
                )
                if complaint:
                    message = f"`{moment.name}` watches the placeholder `{gap.name}`, which {complaint.what}"
                    problems.add("moments.yaml", line, message, complaint.fix)


class _CheckTexts:
    """The sentences of one check, held against what it judges."""

    def __init__(self, check: Check, draft: Draft, problems: Problems):
        self.check = check
        self.draft = draft
        self.problems = problems

    def verify(self, certain: Certain) -> None:
        """Every sentence: its placeholders, its numbers, and whether a first one can always be said."""
        sure = self._sure(certain)
        for sentences, judged in self._texts():
            for number, sentence in enumerate(sentences):
                self._numbers(sentence)
                for gap in sentence.placeholders:
                    complaint = self._complaint(gap, judged)
                    first = number == 0 and not self.check.collects
                    if complaint is None and first and not self._always(gap, sure, certain):
                        complaint = Complaint(
                            "is in the first sentence of a verdict, but may be unknown when that is given.",
                            "Move it to a later sentence (left out when unknown), "
                            "or use a name every route needs.",
                        )
                    if complaint:
                        self._complain(gap, sentence.line, complaint)

    def _complain(self, gap: Placeholder, line: int, complaint: Complaint) -> None:
        message = f"`{self.check.id}` has the placeholder `{gap.name}`, which {complaint.what}"
        self.problems.add(self.check.file, line, message, complaint.fix)

    def _texts(self) -> Iterable[tuple[tuple[Sentence, ...], set[str | None]]]:
        """The sentences of the check, and what is judged by the limits they speak of."""
        check = self.check
        for verdict, sentences in check.text.items():
            speaking = [bound for bound in check.limits.get(verdict, ()) if not bound.text]
            yield sentences, {bound.judges for bound in speaking} or {check.judges}
        for bound in check.bounds:
            yield bound.text, {bound.judges}
        for contradiction in check.contradictions:
            yield contradiction.text, set()

    def watch(self) -> None:
        """What is watched has no first sentence: an item that cannot be said in full is left out."""
        for gap, line in _gaps(self.check.watch):
            complaint = self._watched_word(gap) if gap.name in OWN_WORDS else self._named(gap)
            if complaint:
                message = f"`{self.check.id}` watches the placeholder `{gap.name}`, which {complaint.what}"
                self.problems.add(self.check.file, line, message, complaint.fix)

    def _numbers(self, sentence: Sentence) -> None:
        """A number typed into prose goes stale when its limit is changed."""
        for digits in sentence.digits:
            if digits not in self.check.numbers:
                self.problems.add(
                    self.check.file,
                    sentence.line,
                    f"`{self.check.id}` says the number {digits} in a sentence.",
                    "Write {limit}, {warn_limit} or {fail_limit}, name a quantity or a constant, "
                    f'or vouch for it: `numbers: {{"{digits}": source}}`.',
                )

    def _sure(self, certain: Certain) -> dict[str | None, set[str]]:
        """At each point of the check, what is known whenever it is judged there."""
        check = self.check
        if check.judges is None:
            return {}
        needed = [check.judges, *(bound.judges for bound in check.bounds)]
        needed += [bound.quantity for bound in check.bounds if bound.quantity]
        return {
            point: certain.all_of([self._bound(name, point) for name in needed])
            for point in (*check.points, *check.also_at) or (None,)
        }

    def _bound(self, name: str, point: str | None) -> str:
        quantity = self.draft.quantities.get(name)
        return at_point(name, point) if quantity and quantity.at_points and point else identifier(name)

    def _always(self, gap: Placeholder, sure: dict[str | None, set[str]], certain: Certain) -> bool:
        if gap.name in OWN_WORDS or gap.name in self.draft.choices or gap.name in self.draft.constants:
            return True
        return all(
            certain.follows(self._bound(gap.name, gap.point or point), names) for point, names in sure.items()
        )

    def _complaint(self, gap: Placeholder, judged: set[str | None]) -> Complaint | None:
        if gap.name in ("value", "limit", "margin") and len(judged) > 1:
            return Complaint(
                "could belong to any of several limits here.",
                "Give each limit on another quantity a `text:` of its own.",
            )
        if gap.name in OWN_WORDS:
            return self._own_word(gap)
        if judged == {gap.name} and not gap.point:
            return Complaint("is what is judged here.", "Write {value}.")
        return self._named(gap)

    def _named(self, gap: Placeholder) -> Complaint | None:
        return _placeholder(gap, self.check.points, self.draft)

    def _own_word(self, gap: Placeholder) -> Complaint | None:
        """`value`, limits, `margin` and `point` belong to what is judged, `missing` to what is required."""
        check = self.check
        if (gap.name == "missing") != (check.requires is not None):
            return Complaint(
                "is a word for checks that require something."
                if gap.name == "missing"
                else "belongs to what a check judges; this one judges no number.",
                "Name a quantity, or {missing} where a check requires something.",
            )
        if check.collects:
            return Complaint("belongs to what a check judges; this one judges no number.", "Name a quantity.")
        measured = gap.name in ("value", "limit", "warn_limit", "fail_limit")
        if gap.point or (gap.unit and not measured):
            return Complaint(
                "takes no operating point, and a unit only after a value or a limit.",
                f"Write {{{gap.name}}}.",
            )
        level = gap.name.removesuffix("_limit")
        if level in ("warn", "fail") and not self._has_one_limit(level):
            return Complaint(
                f"needs one number under `limits: {level}` for what the check judges.",
                "Say it in the `text:` of the limit it belongs to.",
            )
        judged = {bound.judges for bound in check.bounds}
        return _unit(gap.unit, [self.draft.quantities[name].dimension for name in judged])

    def _has_one_limit(self, level: str) -> bool:
        bounds = [bound for bound in self.check.limits.get(level, ()) if bound.judges == self.check.judges]
        return len(bounds) == 1 and bounds[0].side != "when"

    def _watched_word(self, gap: Placeholder) -> Complaint | None:
        """The limit that counted may be one on another quantity, so only the check's own value can be
        watched.
        """
        if gap.name in ("limit", "margin"):
            return Complaint("is no signal.", "Leave `stop_at` out: it is the fail limit then.")
        if gap.name == "value" and self.check.judges and not gap.point:
            return _unit(gap.unit, [self.draft.quantities[self.check.judges].dimension])
        return self._own_word(gap)


def _gaps(watch: Watch | None) -> list[tuple[Placeholder, int]]:
    if watch is None:
        return []
    return [(gap, sentence.line) for sentence in watch.sentences for gap in sentence.placeholders]


def _unit(unit: str | None, dimensions: Iterable[str]) -> Complaint | None:
    for dimension in dimensions:
        if unit and find_unit(dimension, unit) is None:
            phrase = DIMENSIONS[dimension].phrase.capitalize()
            return Complaint(f"cannot be said in `{unit}`.", f"{phrase} is {offer(dimension)}.")
    return None


def _placeholder(gap: Placeholder, points: tuple[str, ...], draft: Draft) -> Complaint | None:
    """What is wrong with the name of a choice, a quantity, an input, a constant, a cell or an assumption."""
    if gap.name in draft.choices:
        if gap.unit or gap.point:
            return Complaint(
                "is a choice and has neither unit nor operating point.", f"Write {{{gap.name}}}."
            )
        return None
    quantity = draft.quantities.get(identifier(gap.name))
    dimension = quantity.dimension if quantity else _dimension_of(gap.name, draft)
    if dimension is None:
        words = [*OWN_WORDS, *draft.choices, *draft.quantities, *draft.inputs, *draft.constants]
        return Complaint(
            "is no name the rules know.", instead(gap.name, words, "Name a quantity, an input or a constant.")
        )
    if gap.point and gap.point not in draft.points:
        there = f"There are {', '.join(draft.points)}."
        return Complaint(
            f"is asked for at `{gap.point}`, which is no operating point.",
            instead(gap.point, draft.points, there),
        )
    if quantity and quantity.at_points and not gap.point and not points:
        fix = f"Write {{{gap.name} at {next(iter(draft.points))}}}."
        return Complaint("depends on operating points.", fix)
    return _unit(gap.unit, [dimension])


def _dimension_of(name: str, draft: Draft) -> str | None:
    """The dimension of a name from outside, or of a constant."""
    for spec in draft.inputs.values():
        for dimension, word in spec.words.items():
            if word == name:
                return dimension
    if name in draft.constants:
        return draft.constants[name].dimension
    head, _, tail = name.partition(".")
    if head in draft.tables and tail in draft.tables[head].columns:
        return draft.tables[head].columns[tail].dimension
    if head in ASSUMED and tail in draft.assumptions:
        return draft.assumptions[tail].dimension
    return None
