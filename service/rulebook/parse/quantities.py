"""rules/quantities/*.yaml and rules/operating_points.yaml: what the service works out, and where."""

import ast

from service.rulebook.files.section import Section, instead, suggest
from service.rulebook.files.yaml_file import Entries, Text
from service.rulebook.formulas.functions import FUNCTIONS
from service.rulebook.model import FunctionStep, OperatingPoint, Quantity, Route
from service.rulebook.names import WORD
from service.rulebook.parse.routes import Choices, parse_guard, parse_routes, vet


def parse_quantities(entries: Entries, file: str, choices: Choices) -> list[Quantity]:
    """Every quantity of one topic; a function step gives several."""
    made: list[Quantity] = []
    for name in entries:
        section = Section(file, name, entries[name], name.line)
        if not WORD.match(name):
            section.fail(
                "is not a name the language has.",
                "Use lower-case words joined by single underscores, no dot.",
            )
        made += _function_step(section, choices) if section.has("function") else [_quantity(section, choices)]
        section.finish()
    return made


def _quantity(section: Section, choices: Choices) -> Quantity:
    source = str(section.text("source"))
    numbers = frozenset(section.si(number, "ratio", "numbers") for number in section.entries("numbers", {}))
    return Quantity(
        **_common(section),
        at_points=_at_points(section),
        routes=parse_routes(section, "routes", choices, source, numbers),
        source=source,
        agree_within=_share(section, "agree_within"),
        fail_beyond=_share(section, "fail_beyond"),
    )


def _common(section: Section) -> dict:
    digits = section.text("digits", None)
    return {
        "name": str(section.name),
        "label": str(section.text("label")),
        "dimension": str(section.dimension()),
        "reading": section.reading(section.node["dimension"]),
        "unit": _unit(section),
        "digits": section.whole(digits, "digits") if digits else None,
        "line": section.line,
        "file": section.file,
    }


def _unit(section: Section) -> dict[str, str]:
    unit = section.take("unit", None)
    if unit is None:
        return {}
    systems = {"metric": unit, "us": unit} if isinstance(unit, Text) else unit
    dimension = section.node["dimension"]
    for system in ("metric", "us"):
        if set(systems) != {"metric", "us"}:
            section.fail(
                "gives a unit that is not one for metric and one for us.",
                "Write `unit: {metric: kW, us: hp}`.",
                section.line_of("unit"),
            )
        section.si(f"1 {systems[system]}".strip(), dimension, "unit")
    return {str(system): str(text) for system, text in systems.items()}


def _at_points(section: Section) -> bool:
    return section.one_of("at", ("operating_point",), None) is not None


def _share(section: Section, key: str) -> float | None:
    text = section.text(key, None)
    return None if text is None else section.si(text, "ratio", key)


def _function_step(section: Section, choices: Choices) -> list[Quantity]:
    source = str(section.text("source"))
    text = section.sentence("function")
    formula = vet(section, text)
    if not isinstance(formula.tree, ast.Call):
        section.fail("has a `function` that is not one call.", "Write `function: name(a, b, c)`.", text.line)
    function = FUNCTIONS.get(formula.tree.func.id)
    if function is None:
        section.fail(
            f"calls `{formula.tree.func.id}`, which is not registered.",
            instead(formula.tree.func.id, FUNCTIONS, f"Registered are {', '.join(FUNCTIONS)}."),
            text.line,
        )
    at_points = _at_points(section)
    when = parse_guard(section, "when", choices)
    gives = section.entries("gives")
    step = FunctionStep(
        function.name,
        formula,
        tuple(str(name) for name in gives),
        when,
        source,
        function.together and at_points,
    )
    results = {result.name: result for result in function.results}
    made = []
    for position, (name, node) in enumerate(gives.items()):
        given = Section(section.file, name, node, name.line)
        result = results.get(str(given.text("result", name)))
        if result is None:
            given.fail(
                f"is not a result of {function.name}().",
                f"Its results: {', '.join(results)}.{suggest(name, results)}",
            )
        common = _common(given)
        route = Route(formula, when, (), (), (), source, text.line, section.file)
        made.append(
            Quantity(
                **common,
                at_points=at_points,
                routes=(route,),
                source=source,
                function=step,
                position=list(results).index(result.name),
            )
        )
        given.finish()
    return made


def parse_points(
    entries: Entries, file: str, choices: Choices
) -> tuple[dict[str, Quantity], list[OperatingPoint]]:
    """The words every operating point has, and the points with the routes to each word."""
    words: dict[str, Quantity] = {}
    for name, node in Section(file, "operating_points", entries, 1).entries("words", {}).items():
        section = Section(file, name, node, name.line)
        words[str(name)] = Quantity(
            **_common(section), at_points=True, routes=(), source=str(section.text("source"))
        )
        section.finish()
    points = []
    for name in entries:
        if name == "words":
            continue
        section = Section(file, name, entries[name], name.line)
        if not WORD.match(name):
            section.fail(
                "is not a name the language has.", "Use lower-case words joined by single underscores."
            )
        points.append(
            OperatingPoint(
                str(name),
                str(section.text("label")),
                parse_guard(section, "when", choices),
                {
                    word: parse_routes(section, word, choices, quantity.source)
                    for word, quantity in words.items()
                    if section.has(word)
                },
                section.one_of("assumed_at_worst", ("warn",), None),
                section.line,
            )
        )
        section.finish()
    return words, points
