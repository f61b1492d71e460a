"""Formulas read names that exist, call functions that exist, and give the units and readings their quantity
declares.
"""

from service.rulebook.draft import Draft, Problems
from service.rulebook.files.section import instead
from service.rulebook.formulas.functions import FUNCTIONS
from service.rulebook.formulas.kinds import kind_of, same
from service.rulebook.model import Quantity, Route
from service.rulebook.names import at_point, shown, split_point
from service.rulebook.verify.dimensions import DimensionError, Kinds, check_call, check_formula


def verify_formulas(draft: Draft, problems: Problems) -> None:
    """Every route of every quantity and operating point."""
    _Verifier(draft, problems).verify()


class _Verifier:
    """Holds the routes of a draft against the names it has, and what each of them is."""

    def __init__(self, draft: Draft, problems: Problems):
        self.draft = draft
        self.problems = problems
        quantities = draft.quantities.values()
        per_point = [quantity for quantity in quantities if quantity.at_points]
        self.plain: Kinds = draft.kinds()
        for quantity in quantities:
            if not quantity.at_points:
                self.plain[quantity.name] = kind_of(quantity.dimension, quantity.reading)
        for point in draft.points:
            for quantity in (*draft.words.values(), *per_point):
                self.plain[at_point(quantity.name, point)] = kind_of(quantity.dimension, quantity.reading)
        # Inside a quantity at operating points a name means the same point, and the point has words of its
        # own.
        self.inside = dict(self.plain)
        for quantity in per_point:
            self.inside[quantity.name] = kind_of(quantity.dimension, quantity.reading)
        for word in draft.words.values():
            self.inside[f"point__{word.name}"] = kind_of(word.dimension, word.reading)
        self.given = [word for spec in draft.inputs.values() for word in (*spec.words.values(), spec.path)]

    def verify(self) -> None:
        for quantity in self.draft.quantities.values():
            for number, route in enumerate(quantity.routes):
                self._route(quantity, route, self.inside if quantity.at_points else self.plain)
                self._presence(quantity.name, route, (quantity.name, "routes", number))
        for point in self.draft.points.values():
            for word, routes in point.words.items():
                for number, route in enumerate(routes):
                    self._route(self.draft.words[word], route, self.inside)
                    self._presence(f"{point.name}.{word}", route, (point.name, word, number))

    def _presence(self, who: str, route: Route, path: tuple[str | int, ...]) -> None:
        """`given` and `without` name inputs only: a misspelled one would hold for ever."""
        for key, names in (("given", route.given), ("without", route.without)):
            for name in names:
                if shown(name) not in self.given:
                    self.problems.add(
                        route.file,
                        self.draft.line(route.file, *path, key),
                        f"`{who}` has `{key}: {shown(name)}`, which is no input.",
                        instead(shown(name), self.given, "Name an input of inputs.yaml."),
                    )

    def _route(self, quantity: Quantity, route: Route, kinds: Kinds) -> None:
        for formula in (route.formula, *(validity.ratio for validity in route.valid)):
            for name in formula.names:
                if name not in kinds:
                    what, fix = self._why_unknown(name, kinds)
                    message = f"`{quantity.name}` reads `{shown(name)}`, which {what}"
                    self.problems.add(route.file, route.line, message, fix)
                    return
            for function in formula.functions:
                if function not in FUNCTIONS:
                    self.problems.add(
                        route.file,
                        route.line,
                        f"`{quantity.name}` calls `{function}`, which is not a registered function.",
                        instead(function, FUNCTIONS, f"Registered are {', '.join(FUNCTIONS)}."),
                    )
                    return
        try:
            complaint = _complaint(quantity, route, kinds)
            message = f"`{route.formula.text}` {complaint}"
        except DimensionError as error:
            complaint = message = f"in `{route.formula.text}`, {error}"
        if complaint:
            self.problems.add(
                route.file,
                route.line,
                f"`{quantity.name}`: {message}",
                "Fix the formula, or the declared dimension or reading.",
            )

    def _why_unknown(self, name: str, kinds: Kinds) -> tuple[str, str]:
        """What is wrong with a name that no formula here may read, and what to do."""
        draft = self.draft
        base, point = split_point(name)
        if point and point not in draft.points:
            return f"names the operating point `{point}`, which is not there.", instead(
                point, draft.points, f"There are {', '.join(draft.points)}."
            )
        if base in draft.quantities and draft.quantities[base].at_points:
            return (
                "exists at operating points only.",
                f"Write at_{next(iter(draft.points))}({base}), or make this quantity `at: operating_point`.",
            )
        if point and base in draft.quantities:
            return "does not depend on operating points.", f"Write {shown(base)} alone."
        if base.startswith("point__"):
            return (
                "has a meaning inside `at: operating_point` only.",
                "Write at_<point>(name), or make this quantity `at: operating_point`.",
            )
        known = [shown(name) for name in kinds]
        return "is neither an input, a constant, a table cell, an assumption nor a quantity.", instead(
            shown(name), known, "Add it where it belongs, or name one that is there."
        )


def _complaint(quantity: Quantity, route: Route, kinds: Kinds) -> str | None:
    declared = kind_of(quantity.dimension, quantity.reading)
    if quantity.function:
        function = FUNCTIONS[quantity.function.function]
        check_call(function, route.formula.tree, kinds)
        result = function.results[quantity.position]
        return same(kind_of(result.dimension, result.reading), declared)
    for validity in route.valid:
        if not check_formula(validity.ratio, kinds).pure:
            return f"has the validity range of `{validity.ratio.text}`, which is no pure ratio."
    return same(check_formula(route.formula, kinds), declared)
