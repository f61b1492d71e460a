"""What an unknown name lacks: groups of inputs, any one of each group, all groups together."""

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property, lru_cache
from typing import overload

from service.evaluation.planning.dependence import Dependence
from service.evaluation.planning.resolve import Resolution
from service.rulebook.formulas.graph import RouteNode
from service.rulebook.input import UNKNOWN
from service.rulebook.model import RULED_OUT, Guard
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook

Group = tuple[str, ...]
MAX_GROUPS = 5
# Builds of one shop lack much the same.
GROUPS_KEPT = 16_384
NEEDS_KEPT = 16_384
Fact = tuple[str, ...]
"""What was said of one input: the word chosen, or the names given."""


class _InputsByName(dict[str, str]):
    """The path of the input behind each name that a build can give."""

    def __init__(self, rulebook: Rulebook):
        for field in rulebook.inputs.values():
            for word in field.words.values():
                self[identifier(word)] = field.path
            if field.kind in ("curve", "map"):
                self[identifier(field.path)] = field.path


class _NeedsByFacts(dict[tuple[str, frozenset[Fact]], list[Group]]):
    """What a name of one rulebook lacks, by what was said of the inputs behind it."""


class Needs:
    """Works out, for one resolution, which inputs would make a name known."""

    def __init__(self, resolution: Resolution):
        self.resolution = resolution
        self.rulebook = resolution.rulebook
        self.memo: dict[str, list[Group] | None] = {}
        kept = self.rulebook.kept
        self.inputs = kept.once(_InputsByName, lambda: _InputsByName(self.rulebook))
        self._dependence = kept.once(Dependence, lambda: Dependence(self.rulebook))
        self._answers = kept.once(_NeedsByFacts, _NeedsByFacts)

    @cached_property
    def facts(self) -> dict[str, Fact]:
        """What was said, by the path of its input."""
        facts: dict[str, Fact] = {path: (path, word) for path, word in self.resolution.choices.items()}
        for name in sorted(self.resolution.given):
            path = self.inputs.get(name, name)
            facts[path] = (*facts.get(path, ()), name)
        return facts

    def of(self, name: str) -> list[Group] | None:
        """Groups of input paths; empty when known, None when nothing a client can say would help."""
        if name not in self.memo:
            self.memo[name] = [] if self.resolution.known(name) else self._unknown(name)
        return self.memo[name]

    def remembered(self, name: str) -> list[Group]:
        """The same as `of`, by what was said of the inputs behind the name: builds that differ elsewhere
        lack the same.
        """
        facts = map(self.facts.get, self._dependence.behind(name))
        key = (name, frozenset(fact for fact in facts if fact))
        groups = self._answers.get(key)
        if groups is None:
            if len(self._answers) >= NEEDS_KEPT:
                self._answers.clear()
            groups = self._answers[key] = self.of(name) or []
        return groups

    def _unknown(self, name: str) -> list[Group] | None:
        if name in self.inputs:
            return [(self.inputs[name],)]
        node = self.rulebook.graph.nodes.get(name)
        if node is None:
            return self._fact(name)
        return either([self._route(route) for route in node.routes])

    def _fact(self, name: str) -> list[Group] | None:
        """An assumption without a row, or an empty table cell: its key may still be unsaid."""
        head, _, tail = name.partition("__")
        if head in ("assumed", "lowest", "highest"):
            unsaid = [c for c in self.rulebook.assumptions[tail].by if c not in self.resolution.choices]
            inputs = [self.choice_input(choice) for choice in unsaid]
            return [(path,) for path in dict.fromkeys(inputs)] or None
        table = self.rulebook.tables.get(head)
        if table and table.key not in self.resolution.choices:
            return [(table.key,)]
        return None

    def choice_input(self, choice: str) -> str:
        """The input that settles a choice: itself, or the key of the table whose column it is."""
        return (
            choice if choice in self.rulebook.inputs else self.rulebook.tables[choice.partition(".")[0]].key
        )

    def _route(self, route: RouteNode) -> list[Group] | None:
        groups = self.guard(route.when)
        if groups is None or not self.resolution.given.isdisjoint(route.route.without):
            return None
        for name in route.route.given:
            if name not in self.resolution.given:
                groups = [*groups, (self.inputs[name],)]
        for used in route.names:
            more = self.of(used)
            if more is None:
                return None
            groups = groups + more
        return smallest(groups)

    def guard(self, guard: Guard) -> list[Group] | None:
        """The choices a guard waits for; None when a choice made rules it out."""
        groups: list[Group] = []
        for choice, words in guard.items():
            word = self.resolution.choices.get(choice, UNKNOWN)
            if word in words:
                continue
            if word != UNKNOWN or RULED_OUT in words:
                return None
            groups.append((self.choice_input(choice),))
        return groups


class Lacking(Sequence[Group]):
    """The groups that some unknown names lack, worked out when somebody looks: most plans only judge."""

    def __init__(self, needs: Needs, groups: Iterable[Group] = (), names: Iterable[str] = ()):
        self._needs = needs
        self._groups = [*groups]
        self._names = [*names]

    @property
    def groups(self) -> list[Group]:
        """The groups, without those that another already implies."""
        if self._names:
            more = [group for name in self._names for group in self._needs.remembered(name)]
            self._groups, self._names = smallest([*self._groups, *more]), []
        return self._groups

    @overload
    def __getitem__(self, index: int) -> Group: ...
    @overload
    def __getitem__(self, index: slice) -> list[Group]: ...
    def __getitem__(self, index: int | slice) -> Group | list[Group]:
        return self.groups[index]

    def __len__(self) -> int:
        return len(self.groups)

    def __iter__(self) -> Iterator[Group]:
        return iter(self.groups)


def either(options: list[list[Group] | None]) -> list[Group] | None:
    """Any one of the options will do: as groups of which one input each is needed."""
    possible = [option for option in options if option is not None]
    if not possible:
        return None
    groups, *others = sorted(possible, key=len)
    for option in others:
        wider = smallest([tuple(dict.fromkeys((*group, *other))) for group in groups for other in option])
        if len(wider) > MAX_GROUPS:
            break
        groups = wider
    return groups


def smallest(groups: list[Group]) -> list[Group]:
    """Without groups that another group already implies."""
    return [*_smallest(tuple(groups))] if len(groups) > 1 else groups


@lru_cache(maxsize=GROUPS_KEPT)
def _smallest(groups: tuple[Group, ...]) -> tuple[Group, ...]:
    kept: list[Group] = []
    for group in sorted(dict.fromkeys(groups), key=len):
        if not any(set(other) <= set(group) for other in kept):
            kept.append(group)
    return tuple(kept)
