"""Formulas read names that exist, call functions that exist, and give the units and readings their quantity declares."""

from service.rulebook.draft import Parts, Problems
from service.rulebook.files.section import instead
from service.rulebook.formulas.formula import Formula
from service.rulebook.formulas.functions import FUNCTIONS
from service.rulebook.model import Quantity, Route
from service.rulebook.names import at_point, shown, split_point
from service.rulebook.verify.dimensions import DimensionError, Kind, check_call, check_formula, kind_of, same


def verify_formulas(parts: Parts, problems: Problems) -> None:
    """Every route of every quantity and operating point."""
    leaves = parts.kinds()
    declared = {q.name: kind_of(q.dimension, q.reading) for q in parts.quantities.values() if not q.at_points}
    for point in parts.points:
        for q in (*parts.words.values(), *(q for q in parts.quantities.values() if q.at_points)):
            declared[at_point(q.name, point)] = kind_of(q.dimension, q.reading)
    plain = leaves | declared
    inside = dict(plain)
    for q in parts.quantities.values():
        if q.at_points:
            inside[q.name] = kind_of(q.dimension, q.reading)
    for word in parts.words.values():
        inside[f"point__{word.name}"] = kind_of(word.dimension, word.reading)
    for quantity in parts.quantities.values():
        for number, route in enumerate(quantity.routes):
            _route(quantity, route, inside if quantity.at_points else plain, parts, problems)
            _presence(quantity.name, route, parts, problems, quantity.name, "routes", number)
    for point in parts.points.values():
        for word, routes in point.words.items():
            for number, route in enumerate(routes):
                _route(parts.words[word], route, inside, parts, problems)
                _presence(f"{point.name}.{word}", route, parts, problems, point.name, word, number)


def _presence(who: str, route: Route, parts: Parts, problems: Problems, *path: str | int) -> None:
    """`given` and `without` name inputs only: a misspelled one would hold for ever."""
    words = [word for one in parts.inputs.values() for word in (*one.words.values(), one.path)]
    for key, names in (("given", route.given), ("without", route.without)):
        for name in names:
            if shown(name) not in words:
                problems.add(
                    route.file,
                    parts.line(route.file, *path, key),
                    f"`{who}` has `{key}: {shown(name)}`, which is no input.",
                    instead(shown(name), words, "Name an input of inputs.yaml."),
                )


def _route(
    quantity: Quantity, route: Route, kinds: dict[str, Kind], parts: Parts, problems: Problems
) -> None:
    formulas: list[Formula] = [route.formula, *(formula for formula, _, _ in route.valid)]
    for formula in formulas:
        for name in formula.names:
            if name not in kinds:
                what, mend = _why_unknown(name, parts, kinds)
                problems.add(
                    route.file, route.line, f"`{quantity.name}` reads `{shown(name)}`, which {what}", mend
                )
                return
        for function in formula.functions:
            if function not in FUNCTIONS:
                problems.add(
                    route.file,
                    route.line,
                    f"`{quantity.name}` calls `{function}`, which is not a registered function.",
                    instead(function, FUNCTIONS, f"Registered are {', '.join(FUNCTIONS)}."),
                )
                return
    try:
        complaint = _complaint(quantity, route, kinds)
        said = f"`{route.formula.text}` {complaint}"
    except DimensionError as error:
        complaint = said = f"in `{route.formula.text}`, {error}"
    if complaint:
        problems.add(
            route.file,
            route.line,
            f"`{quantity.name}`: {said}",
            "Mend the formula, or the declared dimension or reading.",
        )


def _complaint(quantity: Quantity, route: Route, kinds: dict[str, Kind]) -> str | None:
    declared = kind_of(quantity.dimension, quantity.reading)
    if quantity.function:
        function = FUNCTIONS[quantity.function.function]
        check_call(function, route.formula.tree.args, kinds)
        result = function.results[quantity.position]
        return same(kind_of(result.dimension, result.reading), declared)
    for formula, _, _ in route.valid:
        if not check_formula(formula, kinds).pure:
            return f"has the validity range of `{formula.text}`, which is no pure ratio."
    return same(check_formula(route.formula, kinds), declared)


def _why_unknown(name: str, parts: Parts, kinds: dict[str, Kind]) -> tuple[str, str]:
    base, point = split_point(name)
    if point and point not in parts.points:
        return f"names the operating point `{point}`, which is not there.", instead(
            point, parts.points, f"There are {', '.join(parts.points)}."
        )
    if base in parts.quantities and parts.quantities[base].at_points:
        return (
            "exists at operating points only.",
            f"Write at_{next(iter(parts.points))}({base}), or make this quantity `at: operating_point`.",
        )
    if point and base in parts.quantities:
        return "does not hang on operating points.", f"Write {shown(base)} alone."
    if base.startswith("point__"):
        return (
            "has a meaning inside `at: operating_point` only.",
            "Write at_<point>(name), or make this quantity `at: operating_point`.",
        )
    known = [shown(name) for name in kinds]
    return "is neither an input, a constant, a table cell, an assumption nor a quantity.", instead(
        shown(name), known, "Add it where it belongs, or name one that is there."
    )
