"""The candidates of an open slot as columns: which names and words each adds to a build, and the numbers."""

from collections.abc import Collection, Hashable

import numpy

from service.advice.candidates import Candidate
from service.evaluation.judging.judge_columns import IntColumn
from service.evaluation.known import Known
from service.evaluation.running.columns import FloatColumn


class SlotColumns:
    """`kinds`: by input path; candidates of one kind add the same names, words and curves there, and differ
    in numbers alone. `numbers`: by path and name, not a number where a candidate has none.
    """

    def __init__(self, slot: str, candidates: list[Candidate]):
        self.slot, self.candidates = slot, candidates
        self.paths = dict.fromkeys(path for candidate in candidates for path in candidate.adds)
        self.kinds = {path: self._kinds(path) for path in self.paths}
        self.numbers = {path: self._numbers(path) for path in self.paths}

    def sees(self, paths: frozenset[str]) -> bool:
        """Whether any candidate adds an input that is among these."""
        return not paths.isdisjoint(self.paths)

    def alike(self, paths: Collection[str]) -> IntColumn:
        """For each candidate the number of its group; those of a group share every plan over these inputs."""
        groups = numpy.zeros(len(self.candidates), int)
        for path in self.paths:
            if path in paths and self.kinds[path].any():
                kinds = self.kinds[path]
                groups = numpy.unique(groups * (kinds.max() + 1) + kinds, return_inverse=True)[1]
        return groups

    def columns(self, paths: frozenset[str], first: int) -> dict[str, FloatColumn]:
        """The numbers under the names that a candidate adds to these inputs."""
        return {
            name: self.numbers[path][name]
            for path, addition in self.candidates[first].adds.items()
            if path in paths
            for name in addition.numbers
        }

    def _kinds(self, path: str) -> IntColumn:
        numbers: dict[Hashable, int] = {}
        additions = (candidate.adds.get(path) for candidate in self.candidates)
        return numpy.array([numbers.setdefault(_kind(addition), len(numbers)) for addition in additions])

    def _numbers(self, path: str) -> dict[str, FloatColumn]:
        additions = [candidate.adds.get(path, _NOTHING).numbers for candidate in self.candidates]
        names = dict.fromkeys(name for addition in additions for name in addition)
        return {
            name: numpy.array([addition.get(name, numpy.nan) for addition in additions]) for name in names
        }


_NOTHING = Known()


def _kind(addition: Known | None) -> Hashable:
    if addition is None:
        return None
    curves = repr(addition.curves) if addition.curves else ""
    return tuple(addition.numbers), tuple(addition.choices.items()), curves
