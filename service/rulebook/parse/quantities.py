"""rules/quantities/*.yaml and rules/operating_points.yaml: what the service works out, and where."""

import ast
from dataclasses import dataclass

from service.rulebook.files.section import Section, instead, suggest
from service.rulebook.files.yaml_file import Entries, Text
from service.rulebook.formulas.functions import FUNCTIONS, Function
from service.rulebook.model import FunctionStep, OperatingPoint, Quantity, Route
from service.rulebook.names import WORD
from service.rulebook.parse.guards import Choices, parse_guard
from service.rulebook.parse.routes import RouteReader, vet

SYSTEMS = ("metric", "us")


def parse_quantities(section: Section, choices: Choices) -> list[Quantity]:
    """The quantity of one entry, or the several that a function step gives."""
    _need_name(section)
    quantities = (
        _function_step(section, choices) if section.has("function") else [_quantity(section, choices)]
    )
    section.finish()
    return quantities


def _need_name(section: Section) -> None:
    if not WORD.match(section.name):
        section.fail(
            "is not a name the language has.", "Use lower-case words joined by single underscores, no dot."
        )


@dataclass(frozen=True)
class _Described:
    """What every entry that becomes a quantity says of itself."""

    label: str
    dimension: str
    reading: str | None
    unit: dict[str, str]
    digits: int | None

    @classmethod
    def read(cls, section: Section) -> "_Described":
        dimension = section.dimension()
        digits = section.text("digits", None)
        return cls(
            label=str(section.text("label")),
            dimension=dimension,
            reading=section.reading(dimension),
            unit=_unit(section, dimension),
            digits=section.whole(digits, "digits") if digits else None,
        )


def _unit(section: Section, dimension: str) -> dict[str, str]:
    unit = section.take("unit", None)
    if unit is None:
        return {}
    systems = dict.fromkeys(SYSTEMS, unit) if isinstance(unit, Text) else unit
    if not isinstance(systems, dict) or set(systems) != set(SYSTEMS):
        section.fail(
            "gives a unit that is not one for metric and one for us.",
            "Write `unit: {metric: kW, us: hp}`.",
            section.line_of("unit"),
        )
    texts = {str(system): str(text) for system, text in systems.items()}
    for text in texts.values():
        section.si(f"1 {text}".strip(), dimension, "unit")
    return texts


def _quantity(section: Section, choices: Choices) -> Quantity:
    source = str(section.text("source"))
    vouched = section.entries("numbers", Entries())
    numbers = frozenset(section.si(number, "ratio", "numbers") for number in vouched)
    described = _Described.read(section)
    instead_of = section.text("instead_of", None)
    return Quantity(
        name=section.name,
        **vars(described),
        at_points=_at_points(section),
        instead_of=str(instead_of) if instead_of else None,
        routes=RouteReader(section, choices, source, numbers).read("routes"),
        source=source,
        agree_within=_share(section, "agree_within"),
        fail_beyond=_share(section, "fail_beyond"),
        line=section.line,
        file=section.file,
    )


def _at_points(section: Section) -> bool:
    return section.one_of("at", ("operating_point",), None) is not None


def _share(section: Section, key: str) -> float | None:
    text = section.text(key, None)
    return None if text is None else section.si(text, "ratio", key)


def _function_step(section: Section, choices: Choices) -> list[Quantity]:
    source = str(section.text("source"))
    text = section.sentence("function")
    formula = vet(section, text)
    function = _registered(section, formula.tree, text.line)
    at_points = _at_points(section)
    gives = section.entries("gives")
    step = FunctionStep(
        function=function.name,
        formula=formula,
        gives=tuple(str(name) for name in gives),
        when=parse_guard(section, "when", choices),
        source=source,
        together=function.together and at_points,
    )
    route = Route(formula, step.when, (), (), (), source, text.line, section.file)
    quantities = []
    for name, node in gives.items():
        entry = Section(section.file, name, node, name.line)
        position = _position(entry, function)
        described = _Described.read(entry)
        quantities.append(
            Quantity(
                name=entry.name,
                **vars(described),
                at_points=at_points,
                routes=(route,),
                source=source,
                function=step,
                position=position,
                line=entry.line,
                file=entry.file,
            )
        )
        entry.finish()
    return quantities


def _registered(section: Section, tree: ast.expr, line: int) -> Function:
    """The function that a formula of one call names."""
    if not isinstance(tree, ast.Call) or not isinstance(tree.func, ast.Name):
        section.fail("has a `function` that is not one call.", "Write `function: name(a, b, c)`.", line)
    function = FUNCTIONS.get(tree.func.id)
    if function is None:
        section.fail(
            f"calls `{tree.func.id}`, which is not registered.",
            instead(tree.func.id, FUNCTIONS, f"Registered are {', '.join(FUNCTIONS)}."),
            line,
        )
    return function


def _position(entry: Section, function: Function) -> int:
    """Which of the function's results an entry takes: that of its own name, or the one under `result`."""
    results = [result.name for result in function.results]
    name = str(entry.text("result", entry.name))
    if name not in results:
        entry.fail(
            f"is not a result of {function.name}().",
            f"Its results: {', '.join(results)}.{suggest(name, results)}",
        )
    return results.index(name)


def parse_point_word(section: Section) -> Quantity:
    """A word every operating point has."""
    described = _Described.read(section)
    word = Quantity(
        name=section.name,
        **vars(described),
        at_points=True,
        routes=(),
        source=str(section.text("source")),
        line=section.line,
        file=section.file,
    )
    section.finish()
    return word


def parse_point(section: Section, words: dict[str, Quantity], choices: Choices) -> OperatingPoint:
    """A point, with the routes to each word."""
    _need_name(section)
    point = OperatingPoint(
        name=section.name,
        label=str(section.text("label")),
        when=parse_guard(section, "when", choices),
        words={
            name: RouteReader(section, choices, word.source).read(name)
            for name, word in words.items()
            if section.has(name)
        },
        assumed_at_worst=section.one_of("assumed_at_worst", ("warn",), None),
        line=section.line,
    )
    section.finish()
    return point
