"""Reads a rules folder into a Rulebook, or refuses it with everything that is wrong: file, line, fix."""

from collections.abc import Iterable
from pathlib import Path

from service.errors import Problem, RulebookError
from service.rulebook.digest import rulebook_digest
from service.rulebook.draft import Draft
from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries, Items
from service.rulebook.formulas.compilers import COMPILERS
from service.rulebook.formulas.graph import Graph, build_graph
from service.rulebook.model import Quantity
from service.rulebook.names import identifier
from service.rulebook.parse.checks import parse_check
from service.rulebook.parse.facts import (
    parse_assumption,
    parse_caution,
    parse_constant,
    parse_display,
    parse_source,
    parse_table,
    parse_wording,
)
from service.rulebook.parse.figures import parse_figure
from service.rulebook.parse.inputs import parse_input
from service.rulebook.parse.numbers import Measured, Numbers
from service.rulebook.parse.quantities import parse_point, parse_point_word, parse_quantities
from service.rulebook.parse.scope import parse_scope
from service.rulebook.parse.slots import parse_slot
from service.rulebook.parse.watches import parse_moment
from service.rulebook.read import (
    DISPLAY,
    FIGURES,
    INPUTS,
    MOMENTS,
    POINTS,
    SCOPE,
    SLOTS,
    WORDING,
    FolderReader,
)
from service.rulebook.rulebook import Rulebook
from service.rulebook.verify.checks import verify_checks
from service.rulebook.verify.facts import verify_facts
from service.rulebook.verify.figures import verify_figures
from service.rulebook.verify.formulas import verify_formulas
from service.rulebook.verify.quantities import verify_quantities
from service.rulebook.verify.slots import verify_slots
from service.rulebook.verify.sources import verify_sources
from service.rulebook.verify.texts import verify_texts
from service.version import VERSION

NO_FOLDER = "Set RULES to the folder that holds inputs.yaml."


def load_rulebook(folder: Path, evaluator: str = "compiled") -> Rulebook:
    """Load, verify and compile the rules in a folder."""
    return load_rulebooks(folder, (evaluator,))[0]


def load_rulebooks(folder: Path, evaluators: Iterable[str]) -> list[Rulebook]:
    """The same folder, read once and compiled for each of the evaluators."""
    if not folder.is_dir():
        raise RulebookError([Problem(str(folder), 1, "is not a folder.", NO_FOLDER)])
    loader = _Loader(folder)
    loader.verify()
    digest = rulebook_digest(folder)
    return [_rulebook(loader.draft, loader.graph(name), digest, name) for name in evaluators]


def _rulebook(draft: Draft, graph: Graph, digest: str, evaluator: str) -> Rulebook:
    return Rulebook(
        version=VERSION,
        digest=digest,
        inputs=draft.inputs,
        sources=draft.sources,
        cautions=draft.cautions,
        moments=draft.moments,
        display=draft.display,
        wording=draft.wording,
        constants=draft.constants,
        tables=draft.tables,
        assumptions=draft.assumptions,
        quantities=draft.quantities,
        point_words=draft.words,
        points=draft.points,
        checks=draft.checks,
        scope=draft.scope,
        figures=draft.figures,
        slots=draft.slots,
        choices=draft.choices,
        graph=graph,
        compiler=COMPILERS[evaluator],
    )


class _Loader(FolderReader):
    """Parses every entry, however many are wrong, and holds what could be read against the rest."""

    def __init__(self, folder: Path):
        super().__init__(folder)
        self._parse()

    def verify(self) -> None:
        """Raises all that is wrong, as far as it can be seen from what could be read."""
        draft, problems = self.draft, self.problems
        verify_facts(draft, problems)
        verify_figures(draft, problems)
        verify_slots(draft, problems)
        verify_quantities(draft, problems)
        verify_formulas(draft, problems)
        verify_sources(draft, problems)
        verify_checks(draft, problems)
        problems.raise_if_any()

    def graph(self, evaluator: str) -> Graph:
        """The compiled graph, which shows what sentences can say."""
        graph = build_graph(self.draft, COMPILERS[evaluator], POINTS)
        verify_texts(self.draft, graph, self.problems)
        self.problems.raise_if_any()
        return graph

    def _parse(self) -> None:
        draft = self.draft
        draft.inputs = self.entries(INPUTS, parse_input)
        for file in self.files("tables"):
            self.whole_file(file, parse_table, draft.tables)
        self._choices()
        self._points()
        self._quantities()
        draft.sources = self.facts("sources", parse_source)
        draft.cautions = self.facts("cautions", parse_caution)
        draft.constants = self.facts("constants", parse_constant)
        draft.assumptions = self.facts("assumptions", parse_assumption)
        draft.display = self.entries(DISPLAY, parse_display)
        if WORDING in draft.raw:
            draft.wording = self.entries(WORDING, parse_wording)
        if MOMENTS in draft.raw:
            draft.moments = self.entries(MOMENTS, parse_moment)
        numbers = self._numbers()
        if SCOPE in draft.raw:
            draft.scope = self.entries(SCOPE, lambda entry: parse_scope(entry, draft.choices, numbers))
        if FIGURES in draft.raw:
            draft.figures = self.entries(FIGURES, parse_figure)
        if SLOTS in draft.raw:
            draft.slots = self.entries(SLOTS, lambda entry: parse_slot(entry, draft.choices))
        for file in self.files("checks"):
            self.whole_file(file, lambda section: parse_check(section, draft.choices, numbers), draft.checks)

    def _choices(self) -> None:
        """Every choice, flag and choice column of a table, with its words."""
        draft = self.draft
        for path, spec in draft.inputs.items():
            if spec.kind not in ("choice", "flag"):
                continue
            table = draft.tables.get(spec.choices_from) if spec.choices_from else None
            if spec.choices_from and table is None:
                self.problems.add(
                    INPUTS,
                    spec.line,
                    f"`{path}` takes its choices from the table `{spec.choices_from}`, which is missing.",
                    f"Add tables/{spec.choices_from}.yaml.",
                )
            words = table.rows if table else spec.choices
            draft.choices[path] = tuple(word for word in words if word != "unknown")
        for table in draft.tables.values():
            for column in table.columns.values():
                if column.choices:
                    draft.choices[f"{table.name}.{column.name}"] = column.choices

    def _points(self) -> None:
        draft = self.draft
        for name in draft.raw[POINTS]:
            if name == "words":
                words = self.entry(POINTS, name, self._point_words)
                draft.words = words or {}
        for name in draft.raw[POINTS]:
            if name != "words":
                point = self.entry(POINTS, name, lambda entry: parse_point(entry, draft.words, draft.choices))
                if point is not None:
                    draft.points[str(name)] = point

    def _point_words(self, section: Section) -> dict[str, Quantity]:
        words = {
            str(name): parse_point_word(Section(section.file, name, node, name.line))
            for name, node in section.node.items()
        }
        section.taken.update(words)
        return words

    def _quantities(self) -> None:
        draft = self.draft
        for file in self.files("quantities"):
            for name in draft.raw[file]:
                gives = _gives(draft.raw[file], name)
                parsed = self.entry(file, name, lambda entry: parse_quantities(entry, draft.choices), *gives)
                for quantity in parsed or ():
                    earlier = draft.quantities.get(quantity.name) or draft.words.get(quantity.name)
                    if earlier:
                        self.problems.add(
                            quantity.file,
                            quantity.line,
                            f"`{quantity.name}` is already a quantity ({earlier.file}:{earlier.line}).",
                            "Give one of them another name.",
                        )
                        continue
                    draft.quantities[quantity.name] = quantity

    def _numbers(self) -> Numbers:
        """Everything a check may set a number against."""
        draft = self.draft
        numbers = {
            identifier(word): Measured(dimension)
            for spec in draft.inputs.values()
            for dimension, word in spec.words.items()
        }
        for constant in draft.constants.values():
            numbers[constant.name] = Measured(constant.dimension)
        for quantity in (*draft.quantities.values(), *draft.words.values()):
            numbers[quantity.name] = Measured(quantity.dimension, "%" in quantity.unit.values())
        return numbers


def _gives(entries: Entries, name: str) -> list[str]:
    """The names that a function step would have given."""
    for key, node in entries.items():
        if key == name and isinstance(node, Entries):
            gives = next((child for word, child in node.items() if word == "gives"), Items())
            return [str(given) for given in gives]
    return []
