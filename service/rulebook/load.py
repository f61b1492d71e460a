"""Reads a rules folder into a Rulebook, or refuses it with everything that is wrong: file, line, fix."""

import re
from collections.abc import Callable
from pathlib import Path, PurePath
from typing import TypeVar

from service.errors import Problem, RulebookError
from service.rulebook.digest import rulebook_digest
from service.rulebook.draft import Draft, Problems
from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries, Items, read_yaml
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
)
from service.rulebook.parse.inputs import parse_input
from service.rulebook.parse.numbers import Measured, Numbers
from service.rulebook.parse.quantities import parse_point, parse_point_word, parse_quantities
from service.rulebook.parse.scope import parse_scope
from service.rulebook.parse.watches import parse_moment
from service.rulebook.rulebook import Rulebook
from service.rulebook.verify.checks import verify_checks
from service.rulebook.verify.facts import verify_facts
from service.rulebook.verify.formulas import verify_formulas
from service.rulebook.verify.sources import verify_sources
from service.rulebook.verify.texts import verify_texts
from service.version import VERSION

INPUTS, POINTS, DISPLAY = "inputs.yaml", "operating_points.yaml", "display.yaml"
MOMENTS, SCOPE = "moments.yaml", "scope.yaml"
FLAT_FILES = (
    INPUTS,
    "sources.yaml",
    "cautions.yaml",
    DISPLAY,
    "constants.yaml",
    "assumptions.yaml",
    POINTS,
)
TOPICS = ("tables", "quantities", "checks", "sources", "cautions", "constants", "assumptions")
NO_FOLDER = "Set RULES to the folder that holds inputs.yaml."
EVERY_FOLDER = "Every rules folder has it, if only with a comment and one entry."

Parsed = TypeVar("Parsed")
Parse = Callable[[Section], Parsed]
# What a file that is not YAML would have given: nobody is told that these names are missing.
_LOOKS_LIKE_A_NAME = re.compile(r"^\s*([a-z][a-z0-9_.-]*)\s*(?::|$)", re.MULTILINE)


def load_rulebook(folder: Path, evaluator: str = "compiled") -> Rulebook:
    """Load, verify and compile the rules in a folder."""
    if not folder.is_dir():
        raise RulebookError([Problem(str(folder), 1, "is not a folder.", NO_FOLDER)])
    loader = _Loader(folder)
    draft = loader.draft
    graph = loader.graph(evaluator)
    return Rulebook(
        version=VERSION,
        digest=rulebook_digest(folder),
        inputs=draft.inputs,
        sources=draft.sources,
        cautions=draft.cautions,
        moments=draft.moments,
        display=draft.display,
        constants=draft.constants,
        tables=draft.tables,
        assumptions=draft.assumptions,
        quantities=draft.quantities,
        point_words=draft.words,
        points=draft.points,
        checks=draft.checks,
        scope=draft.scope,
        choices=draft.choices,
        graph=graph,
        compiler=COMPILERS[evaluator],
    )


class _Loader:
    """Reads every file and every entry, however many are wrong, and holds what could be read against the
    rest.
    """

    def __init__(self, folder: Path):
        self.problems = Problems()
        self.draft = Draft()
        self._read(folder)
        self._parse()

    def graph(self, evaluator: str) -> Graph:
        """The compiled graph; raises all that is wrong, as far as it can be seen from what could be read."""
        draft, problems = self.draft, self.problems
        verify_facts(draft, problems)
        verify_formulas(draft, problems)
        verify_sources(draft, problems)
        verify_checks(draft, problems)
        problems.raise_if_any()
        graph = build_graph(draft, COMPILERS[evaluator], POINTS)
        verify_texts(draft, graph, problems)
        problems.raise_if_any()
        return graph

    def _read(self, folder: Path) -> None:
        raw = self.draft.raw
        for name in (*FLAT_FILES, MOMENTS, SCOPE):
            needed = name in FLAT_FILES
            if (folder / name).is_file() or (needed and (folder / name).exists()):
                self._read_file(folder / name, name)
            elif needed:
                self.problems.add(name, 1, "is missing from the rules folder.", EVERY_FOLDER)
        for topic in TOPICS:
            for path in sorted(folder.glob(f"{topic}/*.yaml")):
                self._read_file(path, path.relative_to(folder).as_posix())
        if not set(FLAT_FILES) <= raw.keys():
            # Without one of these nothing else can be told apart from what follows from it.
            self.problems.raise_if_any()

    def _read_file(self, path: Path, name: str) -> None:
        entries = self.problems.keep(lambda: read_yaml(path, name), PurePath(name).stem)
        if entries is not None:
            self.draft.raw[name] = entries
        elif path.is_file():
            self.problems.drop(_LOOKS_LIKE_A_NAME.findall(path.read_text(encoding="utf-8", errors="replace")))

    def _parse(self) -> None:
        draft = self.draft
        draft.inputs = self._entries(INPUTS, parse_input)
        for file in self._files("tables"):
            self._whole_file(file, parse_table, draft.tables)
        self._choices()
        self._points()
        self._quantities()
        draft.sources = self._facts("sources", parse_source)
        draft.cautions = self._facts("cautions", parse_caution)
        draft.constants = self._facts("constants", parse_constant)
        draft.assumptions = self._facts("assumptions", parse_assumption)
        draft.display = self._entries(DISPLAY, parse_display)
        if MOMENTS in draft.raw:
            draft.moments = self._entries(MOMENTS, parse_moment)
        numbers = self._numbers()
        if SCOPE in draft.raw:
            draft.scope = self._entries(SCOPE, lambda entry: parse_scope(entry, draft.choices, numbers))
        for file in self._files("checks"):
            self._whole_file(file, lambda section: parse_check(section, draft.choices, numbers), draft.checks)

    def _files(self, topic: str) -> list[str]:
        return [file for file in self.draft.raw if file.startswith(f"{topic}/")]

    def _entry(self, file: str, name: str, parse: Parse[Parsed], *gives: str) -> Parsed | None:
        """One entry of a file, where it can be read; `gives` are further names it would have given."""
        entries = self.draft.raw[file]
        node = next(node for key, node in entries.items() if key == name)
        line = entries.line_of(name)
        return self.problems.keep(lambda: parse(Section(file, name, node, line)), name, *gives)

    def _entries(self, file: str, parse: Parse[Parsed]) -> dict[str, Parsed]:
        """Every entry of one file that could be read."""
        entries = {str(name): self._entry(file, name, parse) for name in self.draft.raw[file]}
        return {name: entry for name, entry in entries.items() if entry is not None}

    def _whole_file(self, file: str, parse: Parse[Parsed], into: dict[str, Parsed]) -> None:
        """A file that is one entry, named as the file is."""
        name = PurePath(file).stem
        entry = self.problems.keep(lambda: parse(Section(file, name, self.draft.raw[file], 1)), name)
        if entry is not None:
            into[name] = entry

    def _facts(self, topic: str, parse: Parse[Parsed]) -> dict[str, Parsed]:
        """A flat file and, where it grew, a folder of the same name; `home` remembers which file each entry
        is in.
        """
        merged: dict[str, Parsed] = {}
        home = self.draft.home
        for file in (f"{topic}.yaml", *self._files(topic)):
            for name, entry in self._entries(file, parse).items():
                if name in merged:
                    earlier = home[f"{topic}/{name}"]
                    line = self.draft.raw[file].line_of(name)
                    self.problems.add(
                        file, line, f"`{name}` is already in {earlier}.", "Keep one of the two."
                    )
                    continue
                merged[name] = entry
                home[f"{topic}/{name}"] = file
        return merged

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
                words = self._entry(POINTS, name, self._point_words)
                draft.words = words or {}
        for name in draft.raw[POINTS]:
            if name != "words":
                point = self._entry(
                    POINTS, name, lambda entry: parse_point(entry, draft.words, draft.choices)
                )
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
        for file in self._files("quantities"):
            for name in draft.raw[file]:
                gives = _gives(draft.raw[file], name)
                parsed = self._entry(file, name, lambda entry: parse_quantities(entry, draft.choices), *gives)
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
