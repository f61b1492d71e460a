"""The names that the checks of a rulebook are judged by and tell, at each operating point: the same for every
plan.
"""

from collections.abc import Iterable

from service.rulebook.check import Check
from service.rulebook.files.text import Sentence
from service.rulebook.rulebook import Rulebook


class NamesRead:
    """The names that each check of a rulebook is judged by, at each operating point."""

    def __init__(self, rulebook: Rulebook):
        self.rulebook = rulebook
        self._names: dict[tuple[str, str | None], tuple[str, ...]] = {}

    def of(self, check: Check, point: str | None) -> tuple[str, ...]:
        """The quantity judged, and those that it or others are held against."""
        key = (check.id, point)
        if key not in self._names:
            judged = [check.judges or ""]
            for bound in check.bounds:
                judged += [bound.judges, bound.quantity or bound.judges]
            names = [self.rulebook.identify(name, point) for name in judged]
            self._names[key] = tuple(dict.fromkeys(names))
        return self._names[key]


class NamesSaid:
    """The quantities that the sentences of each check of a rulebook tell, and those of its moments."""

    def __init__(self, rulebook: Rulebook):
        self.rulebook = rulebook
        self._names: dict[str, tuple[str, ...]] = {}
        watched = [item.sentences for moment in rulebook.moments.values() for item in moment.watch]
        self.of_moments = self._told([sentence for sentences in watched for sentence in sentences], (None,))

    def of(self, check: Check) -> tuple[str, ...]:
        """Those of a check, at each of its operating points."""
        if check.id not in self._names:
            sentences = [sentence for text in check.text.values() for sentence in text]
            for contradiction in check.contradictions:
                sentences += contradiction.text
            sentences += check.watch.sentences if check.watch else ()
            told = self._told(sentences, (*check.points, *check.also_at, *check.second_look, None))
            points = (*check.points, *check.also_at, None)
            shown = [self.rulebook.identify(name, point) for name in check.shows for point in points]
            self._names[check.id] = (*told, *self._quantities(shown))
        return self._names[check.id]

    def _told(self, sentences: Iterable[Sentence], points: tuple[str | None, ...]) -> tuple[str, ...]:
        return self._quantities(
            self.rulebook.identify(gap.name, point)
            for sentence in sentences
            for gap in sentence.placeholders
            for point in ((gap.point,) if gap.point else points)
        )

    def _quantities(self, names: Iterable[str]) -> tuple[str, ...]:
        return tuple([name for name in dict.fromkeys(names) if name in self.rulebook.graph.nodes])
