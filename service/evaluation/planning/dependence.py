"""Which inputs a check can depend on at all: over every route, guard, table and assumption behind it."""

from service.rulebook.check import Check
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook


class Dependence:
    """The inputs behind each check of one rulebook, by path."""

    def __init__(self, rulebook: Rulebook):
        self.rulebook = rulebook
        self.paths: dict[str, str] = {}
        for field in rulebook.inputs.values():
            for word in field.words.values():
                self.paths[identifier(word)] = field.path
            self.paths.setdefault(identifier(field.path), field.path)
        self._behind: dict[str, frozenset[str]] = {}
        self._checks: dict[str, frozenset[str]] = {}

    def of(self, check: str) -> frozenset[str]:
        """The inputs a check can depend on."""
        if check not in self._checks:
            self._checks[check] = self._of(self.rulebook.checks[check])
        return self._checks[check]

    def behind(self, name: str) -> frozenset[str]:
        """The inputs that a quantity or input can depend on."""
        behind = self._behind.get(name)
        return behind if behind is not None else self._name(identifier(name))

    def _of(self, check: Check) -> frozenset[str]:
        points = (*check.points, *check.also_at, *check.second_look) or (None,)
        names = [self.rulebook.identify(name, point) for point in points for name in self._names(check)]
        requirements = check.requires.each if check.requires else ()
        choices = [
            *check.applies_when,
            *check.eased_when,
            *(choice for bound in check.bounds for choice in (*bound.by, *bound.when)),
            *(choice for part in requirements for choice in (*part.when, *part.choices)),
        ]
        paths = frozenset().union(*(self._name(name) for name in names))
        return paths | {self._choice(choice) for choice in choices}

    def _names(self, check: Check) -> list[str]:
        if not check.judges:
            return []
        names = [check.judges, *(guard.quantity for guard in check.applies_above)]
        for bound in check.bounds:
            names += [bound.judges, *([bound.quantity] if bound.quantity else [])]
        return names

    def _name(self, name: str) -> frozenset[str]:
        """The inputs behind a name."""
        if name not in self._behind:
            self._behind[name] = self._look(name)
        return self._behind[name]

    def _look(self, name: str) -> frozenset[str]:
        node = self.rulebook.graph.nodes.get(name)
        if node is None:
            return self._leaf(name)
        paths: set[str] = set()
        for route in node.routes:
            paths.update(self._choice(choice) for choice in route.when)
            for used in (*route.names, *route.route.given, *route.route.without):
                paths |= self._name(used)
        return frozenset(paths)

    def _leaf(self, name: str) -> frozenset[str]:
        if name in self.paths:
            return frozenset({self.paths[name]})
        head, _, tail = name.partition("__")
        if head in ("assumed", "lowest", "highest"):
            return frozenset(self._choice(choice) for choice in self.rulebook.assumptions[tail].by)
        if head in self.rulebook.tables:
            return frozenset({self.rulebook.tables[head].key})
        return frozenset()

    def _choice(self, choice: str) -> str:
        """The input that settles a choice: itself, or the key of the table whose column it is."""
        return (
            choice if choice in self.rulebook.inputs else self.rulebook.tables[choice.partition(".")[0]].key
        )
