"""Routes: the ways to a quantity, as a foreman writes them."""

from service.rulebook.files.section import Section, suggest
from service.rulebook.files.yaml_file import Entries, Items, Text
from service.rulebook.formulas.formula import Formula, FormulaError, parse_formula
from service.rulebook.model import RULED_OUT, Guard, Route
from service.rulebook.names import identifier
from service.rulebook.parse.inputs import UNKNOWN

Choices = dict[str, tuple[str, ...]]
"""Choice name -> its words, without `unknown`."""


def parse_routes(
    section: Section, key: str, choices: Choices, source: str, numbers: frozenset[float] = frozenset()
) -> tuple[Route, ...]:
    """The list under `routes:`; each a formula, or an entry with when, formula, valid, source."""
    items = section.items(key)
    if items.flow and len(items) > 1:
        section.fail(
            f"holds formulas inside [...] under `{key}`, where YAML splits them at every comma.",
            "Write one `- formula` line for each route.",
            items.line,
        )
    return tuple(_route(section, item, choices, source, numbers) for item in items)


def _route(section: Section, item: object, choices: Choices, source: str, numbers: frozenset[float]) -> Route:
    if isinstance(item, Text):
        return Route(vet(section, item, numbers), {}, (), (), (), source, item.line, section.file)
    if not isinstance(item, Entries):
        section.fail(
            "has a route that is neither a formula nor `formula:` lines.",
            "Write `- formula`, or `- formula: ...` with `when:`, `without:`, `valid:` or `source:` below it.",
            getattr(item, "line", section.line),
        )
    route = Section(section.file, section.name, item, item.line)
    text = route.sentence("formula")
    made = Route(
        vet(route, text, numbers),
        parse_guard(route, "when", choices),
        tuple(identifier(name) for name in route.items("given", ())),
        tuple(identifier(name) for name in route.items("without", ())),
        tuple(_valid(route, formula, pair) for formula, pair in route.entries("valid", {}).items()),
        str(route.text("source", source)),
        text.line,
        section.file,
    )
    route.finish()
    return made


def vet(section: Section, text: Text, numbers: frozenset[float] = frozenset()) -> Formula:
    """A formula, or the rule error that says what is wrong with it."""
    try:
        return parse_formula(text, numbers)
    except FormulaError as error:
        section.fail(f"has the formula `{_short(text)}`, which {error.what}", error.mend, text.line)


def _short(text: str) -> str:
    return text if len(text) <= 80 else text[:77] + "..."


def _valid(section: Section, text: Text, pair: object) -> tuple[Formula, float, float]:
    if not isinstance(pair, Items) or len(pair) != 2:
        section.fail(
            "has a `valid` range that is not [low, high].", "Write `valid: {a / b: [0.4, 0.95]}`.", text.line
        )
    low, high = (section.si(end, "ratio", "valid") for end in pair)
    return vet(section, text), low, high


def parse_guard(section: Section, key: str, choices: Choices) -> Guard:
    """`{choice: [words]}` or `{choice: {not: [words]}}`; `unknown` is the choice not given."""
    return guard_of(section, section.entries(key, {}), choices)


def guard_of(section: Section, entries: dict, choices: Choices) -> Guard:
    guard: Guard = {}
    for name, node in entries.items():
        if name not in choices:
            section.fail(
                f"guards on `{name}`, which is no choice.",
                f"Guards read choices and flags only.{suggest(name, choices)}",
                name.line,
            )
        universe = (*choices[name], UNKNOWN)
        negated = isinstance(node, Entries) and set(node) == {"not"}
        words = node["not"] if negated else node
        words = [words] if isinstance(words, str) else words
        if not isinstance(words, list) or not words:
            section.fail(
                f"guards on `{name}` without a list of words.",
                f"Write `{name}: [a, b]` or `{name}: {{not: [a]}}`.",
                name.line,
            )
        for word in words:
            if word not in universe:
                section.fail(
                    f"guards on `{name}` being `{word}`, which it never is.",
                    f"Its words: {', '.join(universe)}.{suggest(word, universe)}",
                    word.line,
                )
        allowed = (
            frozenset(universe) - frozenset(words) if negated else frozenset(str(word) for word in words)
        )
        guard[str(name)] = allowed | {RULED_OUT} if negated and UNKNOWN in words else allowed
    return guard
