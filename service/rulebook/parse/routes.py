"""Routes: the ways to a quantity, as a foreman writes them."""

from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries, Items, Text
from service.rulebook.formulas.formula import Formula, FormulaError, parse_formula
from service.rulebook.model import Route, Validity
from service.rulebook.names import identifier
from service.rulebook.parse.guards import Choices, parse_guard

LONGEST_SHOWN = 80


class RouteReader:
    """Reads the routes of one quantity or word, with the numbers its rule vouches for."""

    def __init__(
        self, section: Section, choices: Choices, source: str, numbers: frozenset[float] = frozenset()
    ):
        self.section = section
        self.choices = choices
        self.source = source
        self.numbers = numbers

    def read(self, key: str) -> tuple[Route, ...]:
        """The list under `routes:`; each a formula, or an entry with when, formula, valid, source."""
        items = self.section.items(key)
        if items.flow and len(items) > 1:
            self.section.fail(
                f"holds formulas inside [...] under `{key}`, where YAML splits them at every comma.",
                "Write one `- formula` line for each route.",
                items.line,
            )
        return tuple(self._route(item) for item in items)

    def _route(self, item: object) -> Route:
        section = self.section
        if isinstance(item, Text):
            formula = vet(section, item, self.numbers)
            return Route(formula, {}, (), (), (), self.source, item.line, section.file)
        if not isinstance(item, Entries):
            section.fail(
                "has a route that is neither a formula nor `formula:` lines.",
                "Write `- formula`, or `- formula: ...` with `when:`, `without:`, `valid:`, `source:` "
                "below it.",
                getattr(item, "line", section.line),
            )
        entry = Section(section.file, section.name, item, item.line)
        text = entry.sentence("formula")
        route = Route(
            vet(entry, text, self.numbers),
            parse_guard(entry, "when", self.choices),
            tuple(identifier(name) for name in entry.words("given")),
            tuple(identifier(name) for name in entry.words("without")),
            tuple(_validity(entry, ratio, ends) for ratio, ends in entry.entries("valid", Entries()).items()),
            str(entry.text("source", self.source)),
            text.line,
            section.file,
        )
        entry.finish()
        return route


def vet(section: Section, text: Text, numbers: frozenset[float] = frozenset()) -> Formula:
    """A formula, or the rule error that says what is wrong with it."""
    try:
        return parse_formula(text, numbers)
    except FormulaError as error:
        section.fail(f"has the formula `{_short(text)}`, which {error.what}", error.fix, text.line)


def _short(text: str) -> str:
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 3] + "..."


def _validity(section: Section, text: Text, ends: object) -> Validity:
    if not isinstance(ends, Items) or len(ends) != 2:
        section.fail(
            "has a `valid` range that is not [low, high].", "Write `valid: {a / b: [0.4, 0.95]}`.", text.line
        )
    low, high = (section.si(end, "ratio", "valid") for end in ends)
    return Validity(vet(section, text), low, high)
