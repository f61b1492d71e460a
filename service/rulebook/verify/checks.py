"""Checks judge quantities where these exist, against limits of the same kind, and name only what is there."""

from collections.abc import Collection, Iterable
from typing import NamedTuple

from service.rulebook.check import Bound, Check
from service.rulebook.draft import Draft, Problems
from service.rulebook.files.section import instead
from service.rulebook.formulas.kinds import Kind, kind_of, same
from service.rulebook.names import identifier
from service.units.units import offer


def verify_checks(draft: Draft, problems: Problems) -> None:
    """Points, levers, cautions, judged quantities and limits of every check."""
    kinds = draft.kinds() | {
        quantity.name: kind_of(quantity.dimension, quantity.reading) for quantity in draft.quantities.values()
    }
    for check in draft.checks.values():
        verifier = _Verifier(check, draft, problems)
        verifier.names()
        verifier.levers()
        verifier.judged()
        for level, bounds in check.limits.items():
            for bound in bounds:
                verifier.bound(level, bound, kinds)
        for guard in check.applies_above:
            verifier.pointless(guard.quantity, "applies above a value of", "applies_when", guard.quantity)
        verifier.contradictions()


class _Names(NamedTuple):
    """Names of one kind that a check gives, where they stand, and those there are."""

    given: Iterable[str]
    known: Collection[str]
    what: str
    fix: str
    path: tuple[str, ...]


class _Verifier:
    """Holds one check against the rest of the draft."""

    def __init__(self, check: Check, draft: Draft, problems: Problems):
        self.check = check
        self.draft = draft
        self.problems = problems

    def complain(self, path: tuple[str | int, ...], message: str, fix: str) -> None:
        file = self.check.file
        self.problems.add(file, self.draft.line(file, *path), f"`{self.check.id}` {message}", fix)

    def names(self) -> None:
        """Every name is one that the rules have."""
        check, draft = self.check, self.draft
        there = f"There are {', '.join(draft.points)}."
        lists = [
            _Names(check.points, draft.points, "no operating point", there, ("at",)),
            _Names(check.also_at, draft.points, "no operating point", there, ("also_at",)),
            _Names(check.second_look, draft.points, "no operating point", there, ("second_look", "at")),
            _Names(check.cautions, draft.cautions, "no caution", "Add it to cautions.yaml.", ("caution",)),
            _Names(check.shows, draft.quantities, "no quantity", "Name a quantity.", ("shows",)),
        ]
        if check.watch:
            fix = "Add it to moments.yaml."
            lists.append(_Names(check.watch.moments, draft.moments, "no moment", fix, ("watch", "moments")))
        for names in lists:
            for position, name in enumerate(names.given):
                if name not in names.known:
                    self.complain(
                        (*names.path, position),
                        f"names `{name}`, which is {names.what}.",
                        instead(name, names.known, names.fix),
                    )

    def levers(self) -> None:
        """A lever is an input with a step to move it by."""
        for name in self.check.levers:
            spec = self.draft.inputs.get(name)
            if spec is None:
                fix = instead(name, self.draft.inputs, "Name an input of inputs.yaml.")
                self.complain(("levers", name), f"names `{name}`, which is no input.", fix)
            elif not spec.steps and spec.kind != "count":
                fix = (
                    f"Add `step:` to it in inputs.yaml: {offer(next(iter(spec.words)))}."
                    if spec.kind == "number"
                    else "Name an input that is a number."
                )
                self.complain(
                    ("levers", name), f"moves the lever `{name}`, which has no step to move it by.", fix
                )

    def judged(self) -> None:
        """What is judged is a quantity, at operating points where it depends on them."""
        check = self.check
        if check.judges is None:
            return
        quantity = self.draft.quantities.get(check.judges)
        if quantity is None:
            self._no_quantity(check.judges, "judges")
        elif quantity.at_points and not check.points:
            self.complain(
                ("judges",),
                f"judges `{check.judges}`, which depends on operating points.",
                "Add `at: [...]` with its operating points.",
            )
        elif check.points and not quantity.at_points:
            self.complain(
                ("at",), f"judges `{check.judges}`, which does not depend on operating points.", "Drop `at:`."
            )

    def _no_quantity(self, name: str, *path: str) -> None:
        self.complain(
            path,
            f"judges `{name}`, which is no quantity.",
            f"Add a quantity with the route `{name}` and judge that.",
        )

    def bound(self, level: str, bound: Bound, kinds: dict[str, Kind]) -> None:
        """A limit is of the kind of what it judges."""
        if bound.judges != self.check.judges:
            where = ("limits", level, "judges")
            if bound.judges not in self.draft.quantities:
                self._no_quantity(bound.judges, *where)
                return
            self.pointless(bound.judges, "judges", *where)
        if bound.quantity:
            where = ("limits", level, bound.side)
            self.pointless(bound.quantity, "is limited by", *where)
            limit = kinds.get(identifier(bound.quantity))
            complaint = same(limit, kinds[bound.judges]) if limit and bound.judges in kinds else None
            if complaint:
                self.complain(
                    where,
                    f"sets `{bound.judges}` against `{bound.quantity}`, which {complaint}",
                    "Give limit and judged quantity the same reading.",
                )

    def contradictions(self) -> None:
        for contradiction in self.check.contradictions:
            path = ("contradictions", contradiction.id)
            self.pointless(contradiction.quantity, "looks at", *path, "quantity")
            for key, verb, input in (
                ("asks_for", "asks for", contradiction.asks_for),
                ("sets_aside", "sets aside", contradiction.sets_aside),
            ):
                if input and input not in self.draft.inputs:
                    fix = instead(input, self.draft.inputs, "Name an input of inputs.yaml.")
                    self.complain((*path, key), f"{verb} `{input}`, which is no input.", fix)

    def pointless(self, name: str, verb: str, *path: str) -> None:
        """A quantity at operating points has no value for a check that is judged at none."""
        quantity = self.draft.quantities.get(name)
        at_points = quantity is not None and quantity.at_points
        if name in self.draft.words or (at_points and (not self.check.points or path[0] != "limits")):
            self.complain(
                path,
                f"{verb} `{name}`, which depends on operating points.",
                "Make a quantity of its value at one point, at_<point>(name), and name that.",
            )
