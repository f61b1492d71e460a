"""Reads a rules folder into a Rulebook, or refuses it with every problem it finds: file, line, mend."""

from importlib.metadata import version
from pathlib import Path

from service.errors import Problem, RulebookError
from service.rulebook import verify
from service.rulebook.checks import parse_check
from service.rulebook.digest import rulebook_digest
from service.rulebook.evaluators import EVALUATORS
from service.rulebook.facts import parse_assumptions, parse_cautions, parse_constants, parse_display, parse_sources, parse_table
from service.rulebook.graph import build_graph
from service.rulebook.inputs import Input, parse_inputs
from service.rulebook.model import Quantity, Table
from service.rulebook.names import identifier
from service.rulebook.quantities import parse_points, parse_quantities
from service.rulebook.rulebook import Rulebook
from service.rulebook.verify_texts import verify_texts
from service.rulebook.yaml_file import Entries, read_yaml

FLAT_FILES = ("inputs", "sources", "cautions", "display", "constants", "assumptions", "operating_points")


def load_rulebook(folder: Path, evaluator: str = "compiled") -> Rulebook:
    """Load, verify and compile the rules in a folder."""
    if not folder.is_dir():
        raise RulebookError([Problem(str(folder), 1, "is not a folder.", "Set RULES to the folder that holds inputs.yaml.")])
    flat = {name: _required(folder, f"{name}.yaml") for name in FLAT_FILES}
    inputs = parse_inputs(flat["inputs"], "inputs.yaml")
    tables = {path.stem: parse_table(path.stem, _read(folder, path), _shown(folder, path)) for path in sorted(folder.glob("tables/*.yaml"))}
    choices = _choices(inputs, tables)
    words, points = parse_points(flat["operating_points"], "operating_points.yaml", choices)
    quantities = _quantities(folder, choices, words)
    constants = parse_constants(flat["constants"], "constants.yaml")
    assumptions = parse_assumptions(flat["assumptions"], "assumptions.yaml")
    dimension_of = _dimensions(inputs, quantities, words)
    checks = {}
    for path in sorted(folder.glob("checks/*.yaml")):
        checks[path.stem] = parse_check(path.stem, _read(folder, path), _shown(folder, path), choices, dimension_of)
    parts = verify.Parts(
        inputs=inputs,
        sources=parse_sources(flat["sources"], "sources.yaml"),
        cautions=parse_cautions(flat["cautions"], "cautions.yaml"),
        display=parse_display(flat["display"], "display.yaml"),
        constants=constants,
        tables=tables,
        assumptions=assumptions,
        quantities=quantities,
        words=words,
        points={point.name: point for point in points},
        checks=checks,
        choices=choices,
        lines={name: entries for name, entries in flat.items()},
    )
    verify.verify(parts)
    graph = build_graph(quantities, words, points, parts.leaves(), EVALUATORS[evaluator], "operating_points.yaml")
    verify_texts(parts, graph)
    return Rulebook(
        version=version("engine-build-rules"),
        digest=rulebook_digest(folder),
        inputs=inputs,
        sources=parts.sources,
        cautions=parts.cautions,
        display=parts.display,
        constants=constants,
        tables=tables,
        assumptions=assumptions,
        quantities=quantities,
        point_words=words,
        points=parts.points,
        checks=checks,
        choices=choices,
        graph=graph,
        evaluator=EVALUATORS[evaluator],
    )


def _shown(folder: Path, path: Path) -> str:
    return str(path.relative_to(folder))


def _read(folder: Path, path: Path) -> Entries:
    return read_yaml(path, _shown(folder, path))


def _required(folder: Path, name: str) -> Entries:
    path = folder / name
    if not path.is_file():
        raise RulebookError([Problem(name, 1, "is missing from the rules folder.", "Every rules folder has it, if only with a comment and one entry.")])
    return _read(folder, path)


def _choices(inputs: dict[str, Input], tables: dict[str, Table]) -> dict[str, tuple[str, ...]]:
    choices: dict[str, tuple[str, ...]] = {}
    for path, one in inputs.items():
        if one.kind not in ("choice", "flag"):
            continue
        if one.choices_from and one.choices_from not in tables:
            raise RulebookError([Problem("inputs.yaml", one.line, f"`{path}` takes its choices from the table `{one.choices_from}`, which is missing.", f"Add tables/{one.choices_from}.yaml.")])
        words = tables[one.choices_from].rows if one.choices_from else one.choices
        choices[path] = tuple(word for word in words if word != "unknown")
    for table in tables.values():
        for column in table.columns.values():
            if column.choices:
                choices[f"{table.name}.{column.name}"] = column.choices
    return choices


def _quantities(folder: Path, choices: dict, words: dict[str, Quantity]) -> dict[str, Quantity]:
    quantities: dict[str, Quantity] = {}
    for path in sorted(folder.glob("quantities/*.yaml")):
        for quantity in parse_quantities(_read(folder, path), _shown(folder, path), choices):
            earlier = quantities.get(quantity.name) or words.get(quantity.name)
            if earlier:
                raise RulebookError([Problem(quantity.file, quantity.line, f"`{quantity.name}` is already a quantity ({earlier.file}:{earlier.line}).", "Give one of them another name.")])
            quantities[quantity.name] = quantity
    return quantities


def _dimensions(inputs: dict[str, Input], quantities: dict[str, Quantity], words: dict[str, Quantity]):
    numbers = {}
    for one in inputs.values():
        for dimension, word in one.words.items():
            numbers[identifier(word)] = dimension
    numbers |= {identifier(q.name): q.dimension for q in (*quantities.values(), *words.values())}
    return lambda name: numbers.get(identifier(str(name)))
