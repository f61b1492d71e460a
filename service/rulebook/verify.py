"""What must hold between rule files: names exist, sources exist, units and readings fit."""

import ast
from dataclasses import dataclass

from service.errors import Problem, RulebookError
from service.rulebook.dimensions import DimensionError, Kind, check_call, check_formula, kind_of, same
from service.rulebook.formula import Formula
from service.rulebook.functions import FUNCTIONS
from service.rulebook.inputs import UNKNOWN
from service.rulebook.model import Assumption, Check, OperatingPoint, Quantity, Route
from service.rulebook.names import at_point, identifier, shown, split_point
from service.rulebook.section import suggest


@dataclass
class Parts:
    """A rulebook whose parts have not been held against each other yet."""

    inputs: dict
    sources: dict
    cautions: dict
    display: dict
    constants: dict
    tables: dict
    assumptions: dict[str, Assumption]
    quantities: dict[str, Quantity]
    words: dict[str, Quantity]
    points: dict[str, OperatingPoint]
    checks: dict[str, Check]
    choices: dict
    lines: dict

    def leaves(self) -> list[str]:
        """Identifiers of everything that comes from outside, and the constants."""
        return [name for name in self.kinds() if name != "pi"]

    def kinds(self) -> dict[str, Kind]:
        """What each leaf is."""
        kinds: dict[str, Kind] = {}
        for one in self.inputs.values():
            for dimension, word in one.words.items():
                kinds[identifier(word)] = kind_of(dimension, one.reading if dimension in ("pressure", "temperature") else None)
            if one.kind == "curve":
                x, y = one.axes
                kinds[identifier(one.path)] = Kind((), None, (kind_of(x.dimension, x.reading), kind_of(y.dimension, y.reading)), "curve")
            if one.kind == "map":
                kinds[identifier(one.path)] = Kind((), None, None, "map")
        for constant in self.constants.values():
            kinds[constant.name] = kind_of(constant.dimension, constant.reading)
        for table in self.tables.values():
            for column in table.columns.values():
                if column.dimension:
                    kinds[identifier(f"{table.name}.{column.name}")] = kind_of(column.dimension, column.reading)
        for one in self.assumptions.values():
            for end in ("assumed", "lowest", "highest"):
                kinds[identifier(f"{end}.{one.name}")] = kind_of(one.dimension, one.reading)
        return kinds


class Problems:
    """Collects what is wrong; raised together."""

    def __init__(self):
        self.found: list[Problem] = []

    def add(self, file: str, line: int, message: str, mend: str = "") -> None:
        self.found.append(Problem(file, line, message, mend))

    def raise_if_any(self) -> None:
        if self.found:
            raise RulebookError(self.found)


def verify(parts: Parts) -> None:
    """Names, sources, units and readings."""
    problems = Problems()
    _inputs(parts, problems)
    _tables_and_assumptions(parts, problems)
    _collisions(parts, problems)
    _formulas(parts, problems)
    _sources(parts, problems)
    _checks(parts, problems)
    problems.raise_if_any()


def _inputs(parts: Parts, problems: Problems) -> None:
    for path, one in parts.inputs.items():
        for other in (*((one.place,) if one.place else ()), *one.could_mean):
            if other not in parts.inputs:
                problems.add("inputs.yaml", one.line, f"`{path}` names the input `{other}`, which is not there.", suggest(other, parts.inputs))
        for dimension in one.words:
            if dimension not in parts.display:
                problems.add("display.yaml", 1, f"has no units to show a {dimension} in, which `{path}` needs.", f"Add `{dimension}:` with metric, us and digits.")


def _tables_and_assumptions(parts: Parts, problems: Problems) -> None:
    for table in parts.tables.values():
        file = f"tables/{table.name}.yaml"
        if table.key not in parts.inputs:
            problems.add(file, 1, f"`{table.name}` is picked by `{table.key}`, which is no input.", suggest(table.key, parts.inputs))
        for row in table.rows.values():
            if row.key != UNKNOWN and row.key not in parts.choices.get(table.key, ()):
                problems.add(file, 1, f"`{table.name}` has the row `{row.key}`, which is no choice of `{table.key}`.", suggest(row.key, parts.choices.get(table.key, ())))
    entries = parts.lines["assumptions"]
    for one in parts.assumptions.values():
        line = entries.line_of(one.name)
        if one.stands_for and one.stands_for not in parts.inputs:
            problems.add("assumptions.yaml", line, f"`{one.name}` stands for `{one.stands_for}`, which is no input.", suggest(one.stands_for, parts.inputs))
        for position, choice in enumerate(one.by):
            if choice not in parts.choices:
                problems.add("assumptions.yaml", line, f"`{one.name}` goes by `{choice}`, which is no choice.", suggest(choice, parts.choices))
                continue
            for row in one.rows:
                word = row.pattern[position]
                if word not in ("*", UNKNOWN, *parts.choices[choice]):
                    problems.add("assumptions.yaml", line, f"`{one.name}` has a row for `{choice}` being `{word}`, which it never is.", suggest(word, parts.choices[choice]))


def _collisions(parts: Parts, problems: Problems) -> None:
    leaves = set(parts.kinds())
    for quantity in (*parts.quantities.values(), *parts.words.values()):
        if quantity.name in leaves or quantity.name in FUNCTIONS or quantity.name == "pi":
            problems.add(quantity.file, quantity.line, f"`{quantity.name}` is already the name of something else.", "Give the quantity another name.")
        if quantity.dimension not in parts.display:
            problems.add("display.yaml", 1, f"has no units to show a {quantity.dimension} in, which `{quantity.name}` needs.", f"Add `{quantity.dimension}:` with metric, us and digits.")


def _formulas(parts: Parts, problems: Problems) -> None:
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
        for route in quantity.routes:
            _route(quantity, route, inside if quantity.at_points else plain, parts, problems)
    for point in parts.points.values():
        for word, routes in point.words.items():
            for route in routes:
                _route(parts.words[word], route, inside, parts, problems)


def _route(quantity: Quantity, route: Route, kinds: dict[str, Kind], parts: Parts, problems: Problems) -> None:
    formulas: list[Formula] = [route.formula, *(formula for formula, _, _ in route.valid)]
    for formula in formulas:
        for name in formula.names:
            if name not in kinds:
                problems.add(route.file, route.line, f"`{quantity.name}` reads `{shown(name)}`, which {_why_unknown(name, parts)}", suggest(shown(name), [shown(known) for known in kinds]))
                return
        for function in formula.functions:
            if function not in FUNCTIONS:
                problems.add(route.file, route.line, f"`{quantity.name}` calls `{function}`, which is not a registered function.", suggest(function, FUNCTIONS))
                return
    try:
        if quantity.function:
            call = route.formula.tree
            check_call(FUNCTIONS[quantity.function.function], call.args, kinds)
            result = FUNCTIONS[quantity.function.function].results[quantity.position]
            complaint = same(kind_of(result.dimension, result.reading), kind_of(quantity.dimension, quantity.reading))
        else:
            complaint = same(check_formula(route.formula, kinds), kind_of(quantity.dimension, quantity.reading))
            for formula, _, _ in route.valid:
                if not check_formula(formula, kinds).pure:
                    complaint = f"has the validity range of `{formula.text}`, which is no pure ratio."
    except DimensionError as error:
        complaint = str(error)
    if complaint:
        problems.add(route.file, route.line, f"`{quantity.name}`: `{route.formula.text}` {complaint}", "Mend the formula, or the declared dimension or reading.")


def _why_unknown(name: str, parts: Parts) -> str:
    base, point = split_point(name)
    if point and point not in parts.points:
        return f"names the operating point `{point}`, which is not there."
    if base in parts.quantities and parts.quantities[base].at_points:
        return f"exists at operating points only; write at_peak_power({base}) or make this quantity `at: operating_point`."
    if point:
        return "does not hang on operating points; drop the at_...()."
    return "is neither an input, a constant, a table cell, an assumption nor a quantity."


def _sources(parts: Parts, problems: Problems) -> None:
    def need(source: str, file: str, line: int, who: str) -> None:
        if source not in parts.sources:
            problems.add(file, line, f"`{who}` names the source `{source}`, which is not in sources.yaml.", suggest(source, parts.sources) or "Add it there.")

    for constant in parts.constants.values():
        need(constant.source, "constants.yaml", parts.lines["constants"].line_of(constant.name), constant.name)
    for table in parts.tables.values():
        for row in table.rows.values():
            need(row.source, f"tables/{table.name}.yaml", 1, f"{table.name}.{row.key}")
    for one in parts.assumptions.values():
        for row in one.rows:
            need(row.source, "assumptions.yaml", parts.lines["assumptions"].line_of(one.name), one.name)
    for quantity in parts.quantities.values():
        for route in quantity.routes:
            need(route.source, quantity.file, route.line, quantity.name)
    for check in parts.checks.values():
        for bounds in check.limits.values():
            for bound in bounds:
                need(bound.source, check.file, check.line, check.id)
        for example in check.examples:
            need(example.source, check.file, example.line, f"{check.id}.examples")
        for contradiction in check.contradictions:
            need(contradiction.source, check.file, check.line, contradiction.id)


def _checks(parts: Parts, problems: Problems) -> None:
    for check in parts.checks.values():
        for point in (*check.points, *check.second_look):
            if point not in parts.points:
                problems.add(check.file, check.line, f"`{check.id}` is judged at `{point}`, which is no operating point.", suggest(point, parts.points))
        for lever in (*check.levers, *check.asks):
            if lever not in parts.inputs:
                problems.add(check.file, check.line, f"`{check.id}` names `{lever}`, which is no input.", suggest(lever, parts.inputs))
        for caution in check.cautions:
            if caution not in parts.cautions:
                problems.add(check.file, check.line, f"`{check.id}` names the caution `{caution}`, which is not in cautions.yaml.", suggest(caution, parts.cautions))
        judged = parts.quantities.get(check.judges or "")
        if judged and judged.at_points != bool(check.points):
            mend = "Add `at: [...]` with its operating points." if judged.at_points else "Drop `at:`."
            problems.add(check.file, check.line, f"`{check.id}` judges `{check.judges}`, which {'hangs' if judged.at_points else 'does not hang'} on operating points.", mend)
